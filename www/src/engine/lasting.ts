// A worker that is kept from one request to the next, for answers that follow the hand: starting one takes longer than
// the answer.
import { WorkerHost } from './worker-host';

export class Lasting<Calls extends object> {
  #host: WorkerHost<Calls> | null = null;
  /** Counts the stops. */
  #stops = 0;

  /** `compiled` gives the module. */
  constructor(
    private readonly compiled: () => Promise<WebAssembly.Module>,
    private readonly make: () => Worker,
  ) {}

  /** Rejects with `SceneFaults` where the module refuses, with `Trapped` where it breaks; never settles after `stop`. */
  ask<Result>(ask: (host: WorkerHost<Calls>) => Promise<Result>): Promise<Result> {
    const stops = this.#stops;
    return new Promise<Result>((resolve, reject) => {
      this.compiled()
        .then((module) => {
          if (stops === this.#stops) ask(this.#running(module)).then(resolve, reject);
        })
        .catch((error: Error) => {
          if (stops === this.#stops) reject(error);
        });
    });
  }

  /** Ends the worker; the next request starts another. */
  stop(): void {
    this.#stops += 1;
    this.#host?.stop();
    this.#host = null;
  }

  #running(module: WebAssembly.Module): WorkerHost<Calls> {
    // After a trap the host has no worker.
    if (this.#host?.alive) return this.#host;
    const host = new WorkerHost<Calls>(this.make, 1);
    host.begin(module);
    this.#host = host;
    return host;
  }
}
