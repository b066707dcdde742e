// Hour and date: shown at once while they are dragged or stepped, and applied to the scene when that ends.
import { MINUTES_OF_DAY, addDays, clampMinute, parseCivil, writeCivil } from './civil';
import { isWithin } from './dates';
import { scene } from './scene.svelte';

/** Steps by keys become one edit after a pause of this length, ms. */
const SETTLES_MS = 600;

class Clock {
  /** The civil time shown; ahead of the scene's time during a drag. */
  at = $state('');
  readonly civil = $derived(parseCivil(this.at));

  /** Called when another hour is shown. */
  shown: () => void = () => undefined;

  #settle: ReturnType<typeof setTimeout> | undefined;

  /** Shows another hour without changing the scene yet. */
  showMinute(minute: number): void {
    this.#show(writeCivil({ date: this.civil.date, minute: clampMinute(minute) }));
  }

  /** By a key: shown at once, applied after a pause. */
  goToMinute(minute: number): void {
    this.showMinute(minute);
    this.#settleLater();
  }

  setMinute(minute: number): void {
    this.showMinute(minute);
    this.commit();
  }

  stepMinutes(minutes: number): void {
    this.goToMinute(Math.min(MINUTES_OF_DAY - 1, Math.max(0, this.civil.minute + minutes)));
  }

  /** Shows another date without changing the scene yet. */
  showDate(date: string): void {
    this.#show(writeCivil({ date, minute: this.civil.minute }));
  }

  /** By a key: shown at once, applied after a pause. */
  goToDate(date: string): void {
    this.showDate(date);
    this.#settleLater();
  }

  setDate(date: string): void {
    if (!/^\d{4}-\d{2}-\d{2}$/.test(date) || date === this.civil.date || !this.canGoTo(date)) return;
    this.showDate(date);
    this.commit();
  }

  stepDays(days: number): void {
    this.setDate(addDays(this.civil.date, days));
  }

  canStepDays(days: number): boolean {
    return this.canGoTo(addDays(this.civil.date, days));
  }

  /** Only a scene that was written at such a date is shown beyond the page's first and last one. */
  canGoTo(date: string): boolean {
    return isWithin(date) || !isWithin(this.civil.date);
  }

  /** Applies the hour shown to the scene: one edit, however far it was dragged. */
  commit(): void {
    clearTimeout(this.#settle);
    if (scene.overview !== null && this.at !== scene.overview.at) scene.setAt(this.at);
  }

  /** Shows the scene's hour after a change of the scene. */
  follow(): void {
    this.at = scene.overview?.at ?? '';
  }

  /** Another scene: an hour of the old scene is not applied to it. */
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
