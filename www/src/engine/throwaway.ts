// Work in a wasm module that is fetched only when it is wanted. Each piece of work has a worker of its own, which is
// ended when it is done or stopped: whatever a file does to it, the page stays alive.
import { messageOf } from './faults';
import { compile } from './module';
import { WorkerHost } from './worker-host';

/** Work under way. */
export interface Working<Result> {
  /** Rejects with `SceneFaults` where the module refuses; never settles after `stop`. */
  done: Promise<Result>;
  stop(): void;
}

export type Work<Calls extends object> = <Result>(ask: (host: WorkerHost<Calls>) => Promise<Result>) => Working<Result>;

/** `part`: what could not be loaded, in words. */
export function throwaway<Calls extends object>(wasmUrl: string, part: string, make: () => Worker): Work<Calls> {
  let module: Promise<WebAssembly.Module> | null = null;

  function compiled(): Promise<WebAssembly.Module> {
    module ??= compile(wasmUrl).catch((error: unknown) => {
      // The next piece of work tries again.
      module = null;
      throw new Error(`${part} could not be loaded (${messageOf(error)})`);
    });
    return module;
  }

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
        .catch(reject);
    });
    const stop = (): void => {
      stopped = true;
      host.stop();
    };
    return { done, stop };
  };
}
