// Work in a wasm module that is fetched only when it is wanted. Each piece of work has a worker of its own, which is
// ended when it is done or stopped: whatever a file does to it, the page stays alive.
import { WorkerHost } from './worker-host';

/** Work under way. */
export interface Working<Result> {
  /** Rejects with `SceneFaults` where the module refuses; never settles after `stop`. */
  done: Promise<Result>;
  stop(): void;
}

export type Work<Calls extends object> = <Result>(ask: (host: WorkerHost<Calls>) => Promise<Result>) => Working<Result>;

/** `compiled` gives the module. */
export function throwaway<Calls extends object>(
  compiled: () => Promise<WebAssembly.Module>,
  make: () => Worker,
): Work<Calls> {
  return <Result>(ask: (host: WorkerHost<Calls>) => Promise<Result>): Working<Result> => {
    const host = new WorkerHost<Calls>(make, 1);
    let stopped = false;
    const done = new Promise<Result>((resolve, reject) => {
      compiled()
        .then((ready) => {
          if (stopped) return;
          host.begin(ready);
          ask(host)
            .then(resolve, reject)
            .finally(() => host.stop());
        })
        .catch((error: Error) => {
          if (!stopped) reject(error);
        });
    });
    const stop = (): void => {
      stopped = true;
      host.stop();
    };
    return { done, stop };
  };
}
