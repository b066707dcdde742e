// The page's side of a worker: starts it with the compiled module, matches answers to requests, passes on progress, and
// restarts it after a trap.
import type { Fault } from './contract';
import { SceneFaults, Trapped } from './faults';
import type { Call, FromWorker, ToWorker } from './messages';

type Calls = object;
type Of<C extends Calls, Name extends keyof C> =
  C[Name] extends Call<infer G, infer A, infer P> ? Call<G, A, P> : never;

interface Waiting {
  answer(value: unknown): void;
  progress(value: unknown): void;
  refuse(error: Error): void;
}

export interface Asking<Progress> {
  progress?: (value: Progress) => void;
  transfer?: Transferable[];
}

export class WorkerHost<C extends Calls> {
  #worker: Worker | null = null;
  #module: WebAssembly.Module | null = null;
  #waiting = new Map<number, Waiting>();
  #id = 0;
  #traps = 0;

  /** Called for every fresh instance, to bring it up to date. */
  begun: () => void = () => undefined;
  /** Called after a trap; with `again` a fresh instance has been started. Pending requests reject with `Trapped`. */
  stopped: (why: string, again: boolean) => void = () => undefined;

  /** `mostTraps`: after this many traps without an answer between them the worker is not restarted. */
  constructor(
    private readonly make: () => Worker,
    private readonly mostTraps: number,
  ) {}

  /** Whether a worker is running. */
  get alive(): boolean {
    return this.#worker !== null;
  }

  /** Loads the worker's file, before there is a module to give it. */
  load(): void {
    if (this.#worker !== null) return;
    const worker = this.make();
    worker.onmessage = ({ data }: MessageEvent<FromWorker>) => {
      if (worker === this.#worker) this.#hear(data);
    };
    worker.onerror = (event) => {
      if (worker === this.#worker) this.#trapped(event.message || 'the worker could not be loaded');
    };
    this.#worker = worker;
  }

  /** Gives the worker its module; after this it accepts requests. */
  begin(module: WebAssembly.Module): void {
    this.#module = module;
    this.#start();
  }

  /** Tries again after the worker was given up. */
  revive(): void {
    if (this.#worker !== null || this.#module === null) return;
    this.#traps = this.mostTraps - 1;
    this.#start();
  }

  /**
   * Sends a request and waits for the answer.
   *
   * Rejects with `SceneFaults` if the module refuses, with `Trapped` if the worker stops. Never settles after `stop`.
   */
  ask<Name extends keyof C & string>(
    name: Name,
    given: Of<C, Name>['given'],
    { progress, transfer = [] }: Asking<Of<C, Name>['progress']> = {},
  ): Promise<Of<C, Name>['answer']> {
    return new Promise((resolve, reject) => {
      if (this.#worker === null) {
        reject(new Trapped('the worker is not running'));
        return;
      }
      const id = (this.#id += 1);
      this.#waiting.set(id, {
        answer: (value) => resolve(value),
        progress: (value) => progress?.(value),
        refuse: reject,
      });
      this.#post({ id, name, given }, transfer);
    });
  }

  /** Sends a request that has no answer. */
  tell<Name extends keyof C & string>(name: Name, given: Of<C, Name>['given']): void {
    this.#post({ id: null, name, given });
  }

  /** All is well so far: a later trap counts as the first. */
  forgive(): void {
    this.#traps = 0;
  }

  stop(): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#module = null;
    this.#waiting.clear();
  }

  #start(): void {
    this.load();
    this.#post({ module: this.#module! });
    this.begun();
  }

  #post(message: ToWorker, transfer: Transferable[] = []): void {
    this.#worker?.postMessage(message, transfer);
  }

  #hear(message: FromWorker): void {
    if (message.kind === 'trapped') {
      this.#trapped(message.message);
      return;
    }
    const waiting = this.#waiting.get(message.id);
    if (message.kind === 'progress') {
      waiting?.progress(message.value);
      return;
    }
    this.#waiting.delete(message.id);
    this.#traps = 0;
    if (message.kind === 'answer') waiting?.answer(message.value);
    else waiting?.refuse(new SceneFaults(message.faults as Fault[]));
  }

  #trapped(why: string): void {
    this.#worker?.terminate();
    this.#worker = null;
    const waiting = [...this.#waiting.values()];
    this.#waiting.clear();
    this.#traps += 1;
    const again = this.#module !== null && this.#traps < this.mostTraps;
    if (again) this.#start();
    for (const one of waiting) one.refuse(new Trapped(why));
    this.stopped(why, again);
  }
}
