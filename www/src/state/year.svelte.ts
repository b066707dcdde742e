// The year at the viewing position, computed when needed and kept until the light or the position changes.
import type { SunOfDay, Year, YearHour } from '../engine/contract';

interface Worker {
  want(year: number): void;
  stop(): void;
}

const HOURS = 12 * 24;

const key = (hour: YearHour): number => hour.month * 24 + hour.hour;

export class YearStore {
  /** Whether the strip is unfolded. */
  unfolded = $state(false);
  hours = $state.raw<YearHour[]>([]);
  sun = $state.raw<SunOfDay[]>([]);
  /** Progress, 0–1, while it is computed; otherwise null. */
  done = $state<number | null>(null);
  /** How many hours, in the order of the year, are up to date. */
  fresh = $state(0);
  /** The year of the hours. */
  year = $state(0);

  /** Whether every hour is present and up to date. */
  readonly whole = $derived(this.fresh === HOURS);

  constructor(private readonly worker: Worker) {}

  /** Sets the year of the strip; `force` if the light or the viewing position has changed too. */
  follow(year: number, force: boolean): void {
    if (!force && year === this.year) return;
    this.year = year;
    this.fresh = 0;
    if (this.unfolded) this.ask();
    else this.stop();
  }

  /** Another scene: clears everything of the old one. */
  clear(): void {
    this.stop();
    this.hours = [];
    this.sun = [];
    this.fresh = 0;
    this.year = 0;
  }

  fold(unfolded: boolean): void {
    this.unfolded = unfolded;
    if (!unfolded) this.stop();
    else if (!this.whole) this.ask();
  }

  ask(): void {
    this.fresh = 0;
    this.done = 0;
    this.worker.want(this.year);
  }

  stop(): void {
    if (this.done === null) return;
    this.worker.stop();
    this.done = null;
  }

  /** Parts arrive in the order of the year; beyond them the old hours stay until they arrive. */
  take(part: Year, done: number): void {
    const last = part.hours.at(-1);
    const reached = last === undefined ? 0 : key(last);
    const before = this.hours.filter((hour) => key(hour) < key(part.hours[0] ?? hour));
    const after = this.hours.filter((hour) => key(hour) > reached);
    this.hours = [...before, ...part.hours, ...after];
    const lastDay = part.sun.at(-1)?.day ?? 0;
    const firstDay = part.sun[0]?.day ?? lastDay + 1;
    this.sun = [
      ...this.sun.filter((day) => day.day < firstDay),
      ...part.sun,
      ...this.sun.filter((day) => day.day > lastDay && done < 1),
    ];
    this.fresh = before.length + part.hours.length;
    this.done = done < 1 ? done : null;
  }

  refused(): void {
    this.done = null;
  }
}
