// The page's side of the worker of figures. At most one request is under way. The newest hour asked for goes next and
// an older one that has not started is forgotten, so dragging never queues; a day is asked for in parts, and an hour
// goes before its next part; a year comes last, in shorter parts. After a trap the worker is started again from the last text and the edits since.
import type { Day, Fault, Report, Year } from './contract';
import type { FromWorker, ToWorker } from './messages';

/** Parts that a day is asked for in: each short enough that an hour asked for meanwhile hardly waits. */
const PARTS_OF_DAY = 24;
/** The same of a year: four of its 288 hours at a time. */
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

type UnderWay =
  | { id: number; revision: number; hour: Hour }
  | { id: number; revision: number; plan: DayPlan }
  | { id: number; revision: number; ofYear: YearPlan };

export interface FiguresEvents {
  report(report: Report, hour: Hour): void;
  /** A part of a day; `done` 0–1. */
  day(part: Day, done: number): void;
  year(part: Year, done: number): void;
  /** The year cannot be worked out; what the hour says about it is enough. */
  noYear(): void;
  refused(faults: Fault[], asked: string): void;
  /** The worker stopped; with `again` it has been started anew and goes on. */
  stopped(message: string, again: boolean): void;
}

export class FiguresClient {
  #worker: Worker | null = null;
  #text: string;
  #edits: string[] = [];
  #revision = 0;
  #id = 0;
  #underWay: UnderWay | null = null;
  #hour: Hour | null = null;
  #day: DayPlan | null = null;
  #year: YearPlan | null = null;
  #traps = 0;

  constructor(
    private readonly module: WebAssembly.Module,
    text: string,
    private readonly events: FiguresEvents,
  ) {
    this.#text = text;
    this.#start();
  }

  /** Another scene altogether. */
  open(text: string): void {
    this.#text = text;
    this.#edits = [];
    this.#revision += 1;
    this.#hour = null;
    this.#day = null;
    this.#year = null;
    this.#traps = 0;
    if (this.#worker === null) this.#start();
    else this.#post({ kind: 'open', text });
  }

  /** An edit that the page's document has made. What was computed before it is out of date. */
  apply(edit: string): void {
    this.#edits.push(edit);
    this.#revision += 1;
    this.#traps = 0;
    if (this.#worker === null) this.#start();
    else this.#post({ kind: 'apply', edit });
  }

  /** An edit that is still in the hand: not to be made again after a trap. Another follows, or `open`. */
  preview(edit: string): void {
    this.#revision += 1;
    this.#post({ kind: 'preview', edit });
  }

  wantReport(at: string, place: string): void {
    this.#hour = { at, place };
    this.#revive();
    this.#next();
  }

  wantDay(date: string, place: string): void {
    this.#day = { date, place, part: 0 };
    this.#revive();
    this.#next();
  }

  /** Forgets the rest of the day. */
  stopDay(): void {
    this.#day = null;
  }

  wantYear(year: number, place: string): void {
    this.#year = { year, place, part: 0 };
    this.#revive();
    this.#next();
  }

  /** Forgets the rest of the year. */
  stopYear(): void {
    this.#year = null;
  }

  /** Another hour, place or day may go well where the last one stopped the worker for good: one try. */
  #revive(): void {
    if (this.#worker !== null) return;
    this.#traps = TRAPS_BEFORE_GIVING_UP - 1;
    this.#start();
  }

  #start(): void {
    this.#underWay = null;
    const worker = new Worker(new URL('./figures.worker.ts', import.meta.url), { type: 'module' });
    worker.onmessage = ({ data }: MessageEvent<FromWorker>) => this.#hear(data);
    worker.onerror = (event) => this.#trapped(event.message || 'the worker could not be loaded');
    this.#worker = worker;
    this.#post({ kind: 'start', module: this.module, text: this.#text, edits: this.#edits });
  }

  #post(message: ToWorker): void {
    this.#worker?.postMessage(message);
  }

  #next(): void {
    if (this.#underWay !== null || this.#worker === null) return;
    const id = (this.#id += 1);
    const revision = this.#revision;
    if (this.#hour !== null) {
      const hour = this.#hour;
      this.#hour = null;
      this.#underWay = { id, revision, hour };
      this.#post({ kind: 'report', id, ...hour });
    } else if (this.#day !== null) {
      const plan = this.#day;
      this.#underWay = { id, revision, plan };
      this.#post({ kind: 'day', id, ...plan, parts: PARTS_OF_DAY });
    } else if (this.#year !== null) {
      const ofYear = this.#year;
      this.#underWay = { id, revision, ofYear };
      this.#post({ kind: 'year', id, ...ofYear, parts: PARTS_OF_YEAR });
    }
  }

  #hear(message: FromWorker): void {
    if (message.kind === 'trapped') {
      this.#trapped(message.message);
      return;
    }
    const asked = this.#underWay;
    if (asked === null || asked.id !== message.id) return;
    this.#underWay = null;
    this.#traps = 0;
    const current = asked.revision === this.#revision;
    if (message.kind === 'refused') {
      if ('plan' in asked && this.#day === asked.plan) this.#day = null;
      if ('ofYear' in asked) {
        if (this.#year === asked.ofYear) this.#year = null;
        if (current) this.events.noYear();
      } else if (current) {
        this.events.refused(message.faults, 'hour' in asked ? asked.hour.at : asked.plan.date);
      }
    } else if (message.kind === 'report' && 'hour' in asked) {
      if (current) this.events.report(message.report, asked.hour);
    } else if (message.kind === 'day' && 'plan' in asked && asked.plan === this.#day) {
      // A day begun before an edit goes on only if nobody has asked for it anew.
      asked.plan.part += 1;
      if (asked.plan.part >= PARTS_OF_DAY) this.#day = null;
      this.events.day(message.day, asked.plan.part / PARTS_OF_DAY);
    } else if (message.kind === 'year' && 'ofYear' in asked && asked.ofYear === this.#year) {
      asked.ofYear.part += 1;
      if (asked.ofYear.part >= PARTS_OF_YEAR) this.#year = null;
      this.events.year(message.year, asked.ofYear.part / PARTS_OF_YEAR);
    }
    this.#next();
  }

  #trapped(message: string): void {
    this.#worker?.terminate();
    this.#worker = null;
    const asked = this.#underWay;
    this.#underWay = null;
    this.#traps += 1;
    const again = this.#traps < TRAPS_BEFORE_GIVING_UP;
    if (again) {
      if (asked !== null && 'hour' in asked) this.#hour ??= asked.hour;
      this.#start();
    } else {
      this.#hour = null;
      this.#day = null;
      this.#year = null;
    }
    this.events.stopped(message, again);
    this.#next();
  }
}
