// The page's side of the figures worker. At most one request is in progress. The newest hour goes next, and older hours
// that have not started are dropped, so dragging never queues. A day is requested in parts, and an hour goes before its
// next part; a year comes last, in shorter parts. Ranges, which take longer than an hour, are asked for once an hour
// stays, and go after it. After a trap the worker is restarted from the last text and the edits
// since.
import type { Day, Fault, Ranges, Report, Year } from './contract';
import { SceneFaults } from './faults';
import type { FiguresCalls } from './messages';
import { WorkerHost } from './worker-host';

/** Number of parts of a day: each is short enough that an hour requested meanwhile hardly waits. */
const PARTS_OF_DAY = 24;
/** Number of parts of a year: four of its 288 hours at a time. */
const PARTS_OF_YEAR = 72;
const TRAPS_BEFORE_GIVING_UP = 2;

interface Hour {
  at: string;
  place: string;
}

interface DayPlan {
  date: string;
  place: string;
  part: number;
}

interface YearPlan {
  year: number;
  place: string;
  part: number;
}

export interface FiguresEvents {
  report(report: Report, hour: Hour): void;
  /** The ranges of that hour's figures; null in the dark. */
  ranges(ranges: Ranges | null, hour: Hour): void;
  /** A part of a day has come; `done` is 0–1. */
  day(part: Day, done: number): void;
  year(part: Year, done: number): void;
  /** The year cannot be computed; the hour's report gives the reason. */
  noYear(): void;
  refused(faults: Fault[]): void;
  /** The worker stopped; with `again` it has been restarted and continues. */
  stopped(message: string, again: boolean): void;
}

export class FiguresClient {
  #worker: WorkerHost<FiguresCalls>;
  #text: string;
  #edits: string[] = [];
  #revision = 0;
  #busy = false;
  #hour: Hour | null = null;
  #ranges: Hour | null = null;
  #day: DayPlan | null = null;
  #year: YearPlan | null = null;

  constructor(
    module: WebAssembly.Module,
    text: string,
    private readonly events: FiguresEvents,
  ) {
    this.#text = text;
    this.#worker = new WorkerHost(
      () => new Worker(new URL('./figures.worker.ts', import.meta.url), { type: 'module' }),
      TRAPS_BEFORE_GIVING_UP,
    );
    this.#worker.begun = () => this.#worker.tell('open', { text: this.#text, edits: this.#edits });
    this.#worker.stopped = (why, again) => {
      if (!again) this.#forget();
      this.events.stopped(why, again);
    };
    this.#worker.begin(module);
  }

  /** Opens another scene. */
  open(text: string): void {
    this.#text = text;
    this.#edits = [];
    this.#revision += 1;
    this.#forget();
    this.#tell(() => this.#worker.tell('open', { text, edits: [] }));
  }

  /** Applies an edit of the page's document. Earlier results are out of date. */
  apply(edit: string): void {
    this.#edits.push(edit);
    this.#revision += 1;
    this.#tell(() => this.#worker.tell('apply', edit));
  }

  /** Previews an edit; it is not replayed after a trap. Another preview or `open` follows. */
  preview(edit: string): void {
    this.#revision += 1;
    this.#worker.tell('preview', edit);
  }

  wantReport(at: string, place: string): void {
    this.#hour = { at, place };
    // Those of an earlier hour are of no more use.
    this.#ranges = null;
    this.#next();
  }

  wantRanges(at: string, place: string): void {
    this.#ranges = { at, place };
    this.#next();
  }

  wantDay(date: string, place: string): void {
    this.#day = { date, place, part: 0 };
    this.#next();
  }

  /** Cancels the rest of the day. */
  stopDay(): void {
    this.#day = null;
  }

  wantYear(year: number, place: string): void {
    this.#year = { year, place, part: 0 };
    this.#next();
  }

  /** Cancels the rest of the year. */
  stopYear(): void {
    this.#year = null;
  }

  /** A changed scene may work although the previous one stopped the worker: a fresh instance opens it. */
  #tell(tell: () => void): void {
    if (this.#worker.alive) tell();
    else this.#worker.revive();
    this.#worker.forgive();
  }

  #forget(): void {
    this.#hour = null;
    this.#ranges = null;
    this.#day = null;
    this.#year = null;
  }

  #next(): void {
    const [hour, ranges, day, year] = [this.#hour, this.#ranges, this.#day, this.#year];
    if (hour === null && ranges === null && day === null && year === null) return;
    // Another hour, place or day may work although the last one stopped the worker for good.
    this.#worker.revive();
    if (this.#busy) return;
    if (hour !== null) this.#askHour(hour);
    else if (ranges !== null) this.#askRanges(ranges);
    else if (day !== null) this.#askDay(day);
    else if (year !== null) this.#askYear(year);
  }

  #askHour(hour: Hour): void {
    this.#hour = null;
    this.#ask(this.#worker.ask('report', hour), {
      answered: (report, current) => {
        if (current) this.events.report(report, hour);
      },
      refused: (faults, current) => {
        if (current) this.events.refused(faults);
      },
      trapped: () => {
        this.#hour ??= hour;
      },
    });
  }

  #askRanges(hour: Hour): void {
    this.#ranges = null;
    this.#ask(this.#worker.ask('ranges', hour), {
      answered: (ranges, current) => {
        if (current) this.events.ranges(ranges, hour);
      },
      // The hour's report gives the reason.
      refused: () => undefined,
    });
  }

  #askDay(plan: DayPlan): void {
    this.#ask(this.#worker.ask('day', { ...plan, parts: PARTS_OF_DAY }), {
      answered: (day) => {
        // A day begun before an edit continues only if it has not been requested again.
        if (plan !== this.#day) return;
        plan.part += 1;
        if (plan.part >= PARTS_OF_DAY) this.#day = null;
        this.events.day(day, plan.part / PARTS_OF_DAY);
      },
      refused: (faults, current) => {
        if (plan === this.#day) this.#day = null;
        if (current) this.events.refused(faults);
      },
    });
  }

  #askYear(plan: YearPlan): void {
    this.#ask(this.#worker.ask('year', { ...plan, parts: PARTS_OF_YEAR }), {
      answered: (year) => {
        if (plan !== this.#year) return;
        plan.part += 1;
        if (plan.part >= PARTS_OF_YEAR) this.#year = null;
        this.events.year(year, plan.part / PARTS_OF_YEAR);
      },
      refused: (_, current) => {
        if (plan === this.#year) this.#year = null;
        if (current) this.events.noYear();
      },
    });
  }

  /** Handles one answer; `current`: whether the scene is still the one it was requested for. */
  #ask<Answer>(
    asked: Promise<Answer>,
    heard: {
      answered(answer: Answer, current: boolean): void;
      refused(faults: Fault[], current: boolean): void;
      /** The worker stopped and was restarted. */
      trapped?(): void;
    },
  ): void {
    const revision = this.#revision;
    const ended = (call: () => void): void => {
      this.#busy = false;
      call();
      this.#next();
    };
    this.#busy = true;
    asked.then(
      (answer) => ended(() => heard.answered(answer, revision === this.#revision)),
      (error: unknown) =>
        ended(() => {
          if (error instanceof SceneFaults) heard.refused(error.faults, revision === this.#revision);
          else if (this.#worker.alive) heard.trapped?.();
        }),
    );
  }
}
