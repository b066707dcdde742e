// The figures at the viewing position: the hour's report, the day and the year, their progress, and stopping them.
import type { Day, DayInstant, Fault, Ranges, Report, WorkingPlaneKind } from '../engine/contract';
import { FiguresClient } from '../engine/figures-client';
import { Awaited } from './awaited.svelte';
import { yearOf } from './civil';
import { clock } from './clock.svelte';
import { frontOf } from './front';
import { notices } from './notices.svelte';
import { scene } from './scene.svelte';
import { viewpoint } from './viewpoint.svelte';
import { YearStore } from './year.svelte';

/**
 * What takes longer than an hour is asked for once nothing has changed for so long: ranges, which would delay the next
 * hour of a drag, and a day whose first parts the next edit would make out of date.
 */
const STAYS_MS = 250;

class Figures {
  report = $state.raw<Report | null>(null);
  /** The hour of the report. */
  reportAt = $state('');
  /** The viewing position of the report. */
  reportPlace = $state('');
  reportFaults = $state.raw<Fault[]>([]);
  /** The report asked for last: while it is to come, the one shown is of another hour, place or scene. */
  readonly #awaited = new Awaited();
  /** How well the figures of the report are known; null until that is computed, and in the dark. */
  ranges = $state.raw<Ranges | null>(null);
  day = $state.raw<Day | null>(null);
  /** Progress of the day, 0–1, while it is computed; otherwise null. */
  dayDone = $state<number | null>(null);
  /** While it is computed, the minute up to which it is done: later instants are of the day before. */
  dayReached = $state(-1);
  /** After a stop, the minute from which the day shown is out of date; null if it is complete. */
  dayOldFrom = $state<number | null>(null);
  readonly year = new YearStore({
    want: (year) => this.#client?.wantYear(year, viewpoint.placeName),
    stop: () => this.#client?.stopYear(),
  });

  /** Called when the hour's report has come or was refused. */
  answered: () => void = () => undefined;
  /** Called when the worker stopped. */
  interrupted: () => void = () => undefined;

  #client: FiguresClient | null = null;
  #staying: ReturnType<typeof setTimeout> | undefined;
  #dayStaying: ReturnType<typeof setTimeout> | undefined;
  /** The date of the slivers. */
  #dayOf = '';
  /** Instants of that day received since it was requested. */
  #dayParts: DayInstant[] = [];

  /** Whether the figures shown are old, and the new ones have not come for a while. */
  readonly late: boolean = $derived(this.report !== null && this.#awaited.late);

  /** The report, if it is of what is shown; null after a refusal or before it has come. */
  readonly current: Report | null = $derived(
    this.reportFaults.length === 0 &&
      !this.#awaited.waiting &&
      this.reportAt === clock.at &&
      this.reportPlace === viewpoint.placeName
      ? this.report
      : null,
  );

  /**
   * The sun's position at the hour shown: from the report if it is for this hour, otherwise from the nearest instant.
   */
  readonly sunWords: string | null = $derived.by(() => {
    if (this.report !== null && this.reportAt === clock.at) return this.report.sun_words;
    const instants = this.day?.date === clock.civil.date ? this.day.instants : [];
    let nearest: DayInstant | null = null;
    for (const instant of instants) {
      const away = Math.abs(instant.minute - clock.civil.minute);
      if (nearest === null || away < Math.abs(nearest.minute - clock.civil.minute)) nearest = instant;
    }
    return nearest?.sun_words ?? null;
  });

  /** The light level from which changes are counted, with its hour, place and plane; null if none are. */
  #from = $state.raw<{ lx: number; at: string; place: string; plane: WorkingPlaneKind | undefined } | null>(null);

  /** The light levels before and after what was changed since; null without a change or at another hour or place. */
  readonly compared: { from: number; to: number } | null = $derived.by(() => {
    const from = this.#from;
    if (from === null || this.report === null) return null;
    const { light, plane } = frontOf(this.report);
    if (from.lx === light.total_lx || from.plane !== plane?.kind) return null;
    return from.at === this.reportAt && from.place === viewpoint.placeName
      ? { from: from.lx, to: light.total_lx }
      : null;
  });

  /** Counts changes of the light level from that shown now. */
  compareFromNow(): void {
    const front = this.report === null ? null : frontOf(this.report);
    this.#from =
      front === null
        ? null
        : {
            lx: front.light.total_lx,
            at: this.reportAt,
            place: viewpoint.placeName,
            plane: front.plane?.kind,
          };
  }

  compareNoMore(): void {
    this.#from = null;
  }

  /** Starts the worker; further calls do nothing. */
  begin(module: WebAssembly.Module): void {
    if (this.#client !== null) return;
    this.#client = new FiguresClient(module, scene.shownText(), {
      report: (report, hour) => {
        this.report = report;
        this.reportAt = hour.at;
        this.reportPlace = hour.place;
        this.reportFaults = [];
        this.ranges = null;
        this.#awaited.came(hour.at === clock.at && hour.place === viewpoint.placeName);
        this.#askRangesSoon(hour.at, hour.place);
        this.answered();
      },
      ranges: (ranges, hour) => {
        if (hour.at === this.reportAt && hour.place === this.reportPlace) this.ranges = ranges;
      },
      day: (part, done) => this.#takeDay(part, done),
      year: (part, done) => this.year.take(part, done),
      noYear: () => this.year.refused(),
      refused: (faults) => {
        this.reportFaults = faults;
        this.ranges = null;
        this.dayDone = null;
        this.#awaited.end();
        this.answered();
      },
      stopped: (why, again) => this.#stopped(why, again),
    });
    this.askReport();
    if (this.#dayOf !== '') this.askDay(true);
    this.followYear(true);
  }

  /** Another scene: clears everything of the old one. */
  open(text: string): void {
    clearTimeout(this.#staying);
    clearTimeout(this.#dayStaying);
    this.#client?.open(text);
    this.report = null;
    this.reportAt = '';
    this.reportPlace = '';
    this.reportFaults = [];
    this.ranges = null;
    this.#awaited.end();
    this.#from = null;
    this.day = null;
    this.#dayOf = '';
    this.year.clear();
  }

  /** Updates the worker's copy of the scene. */
  follow(made: string): void {
    this.#client?.apply(made);
  }

  /** Previews an edit in the next figures. Another preview, `unpreview` or the edit itself follows. */
  preview(edit: string): void {
    this.#client?.preview(edit);
    this.askReport();
  }

  /** Ends the preview without an edit: the scene has not changed, and a complete day is still valid. */
  unpreview(text: string): void {
    this.#client?.open(text);
    this.askReport();
    if (this.dayDone !== null) this.askDay(true);
    this.followYear(true);
  }

  #askRangesSoon(at: string, place: string): void {
    clearTimeout(this.#staying);
    this.#staying = setTimeout(() => this.#client?.wantRanges(at, place), STAYS_MS);
  }

  askReport(): void {
    clearTimeout(this.#staying);
    this.#awaited.begin();
    this.#client?.wantReport(clock.at, viewpoint.placeName);
  }

  /** Requests the day of the date shown; `force` if the light or the viewing position has changed too. */
  askDay(force: boolean): void {
    const date = clock.civil.date;
    if (!force && date === this.#dayOf) return;
    const isFirst = this.#dayOf === '';
    this.#dayOf = date;
    this.#dayParts = [];
    this.dayDone = 0;
    this.dayReached = -1;
    this.dayOldFrom = null;
    const want = (): void => this.#client?.wantDay(date, viewpoint.placeName);
    clearTimeout(this.#dayStaying);
    this.#client?.stopDay();
    if (isFirst) want();
    else this.#dayStaying = setTimeout(want, STAYS_MS);
  }

  followYear(force: boolean): void {
    this.year.follow(yearOf(clock.civil.date), force);
  }

  stopDay(): void {
    clearTimeout(this.#dayStaying);
    this.#client?.stopDay();
    this.dayDone = null;
    const reached = this.#dayParts.at(-1)?.minute;
    this.dayOldFrom = reached === undefined ? 0 : reached + 1;
  }

  /** Resumes the day that was stopped. */
  resumeDay(): void {
    this.askDay(true);
  }

  /**
   * Parts arrive in the order of the day; beyond them the old day stays until they arrive. The minutes of two days may
   * differ: a day on which the clocks change has more or fewer.
   */
  #takeDay(part: Day, done: number): void {
    this.#dayParts.push(...part.instants);
    const reached = Math.max(...this.#dayParts.map((instant) => instant.minute));
    const old = done < 1 ? (this.day?.instants ?? []).filter((instant) => instant.minute > reached) : [];
    const instants = [...this.#dayParts, ...old].sort((a, b) => a.minute - b.minute);
    this.day = { ...part, instants };
    this.dayReached = reached;
    this.dayDone = done < 1 ? done : null;
  }

  #stopped(why: string, again: boolean): void {
    this.interrupted();
    notices.line = again
      ? 'The figures stopped and were restarted from your scene. Nothing is lost.'
      : `The figures stopped twice (${why}). Undo the last change, or choose another hour or place.`;
    if (!again) {
      this.#awaited.end();
      this.dayDone = null;
      this.year.refused();
    }
  }
}

export const figures = new Figures();
