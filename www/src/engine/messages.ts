// What the page and the worker of figures say to each other.
import type { Day, Fault, Report } from './contract';

export type ToWorker =
  | { kind: 'start'; module: WebAssembly.Module; text: string; edits: string[] }
  | { kind: 'open'; text: string }
  | { kind: 'apply'; edit: string }
  | { kind: 'report'; id: number; at: string; place: string }
  | { kind: 'day'; id: number; date: string; place: string; part: number; parts: number };

export type FromWorker =
  | { kind: 'report'; id: number; report: Report }
  | { kind: 'day'; id: number; day: Day }
  | { kind: 'refused'; id: number; faults: Fault[] }
  | { kind: 'trapped'; message: string };
