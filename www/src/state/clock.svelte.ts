// Hour and date: shown at once while they are dragged or stepped, the scene's as soon as they are still.
import { MINUTES_OF_DAY, addDays, clampMinute, parseCivil, writeCivil } from './civil';
import { scene } from './scene.svelte';

/** An hour stepped by keys becomes one edit when the keys have been still this long. */
const SETTLES_MS = 600;

class Clock {
  /** Civil time shown, ahead of the scene's while it is dragged. */
  at = $state('');
  readonly civil = $derived(parseCivil(this.at));

  /** Another hour is shown. */
  shown: () => void = () => undefined;

  #settle: ReturnType<typeof setTimeout> | undefined;

  /** Shows another hour without making it the scene's yet. */
  showMinute(minute: number): void {
    this.#show(writeCivil({ date: this.civil.date, minute: clampMinute(minute) }));
  }

  /** By a key: shown at once, the scene's when the keys are still. */
  goToMinute(minute: number): void {
    this.showMinute(minute);
    this.#settleLater();
  }

  stepMinutes(minutes: number): void {
    this.goToMinute(Math.min(MINUTES_OF_DAY - 1, Math.max(0, this.civil.minute + minutes)));
  }

  /** Shows another date without making it the scene's yet. */
  showDate(date: string): void {
    this.#show(writeCivil({ date, minute: this.civil.minute }));
  }

  /** By a key: shown at once, the scene's when the keys are still. */
  goToDate(date: string): void {
    this.showDate(date);
    this.#settleLater();
  }

  setDate(date: string): void {
    if (!/^\d{4}-\d{2}-\d{2}$/.test(date) || date === this.civil.date) return;
    this.showDate(date);
    this.commit();
  }

  stepDays(days: number): void {
    this.setDate(addDays(this.civil.date, days));
  }

  /** Makes the hour shown the scene's: one edit, however far it was dragged. */
  commit(): void {
    clearTimeout(this.#settle);
    if (scene.overview !== null && this.at !== scene.overview.at) scene.setAt(this.at);
  }

  /** After a change of the scene: its hour is shown. */
  follow(): void {
    this.at = scene.overview?.at ?? '';
  }

  /** Another scene: an hour of the old one is not made the new one's. */
  reset(): void {
    clearTimeout(this.#settle);
    this.follow();
  }

  #settleLater(): void {
    clearTimeout(this.#settle);
    this.#settle = setTimeout(() => this.commit(), SETTLES_MS);
  }

  #show(at: string): void {
    if (at === this.at) return;
    this.at = at;
    this.shown();
  }
}

export const clock = new Clock();
