// Scene files with attachments, from the page's side. Each piece of work has a worker of its own, which is ended when it
// is done; the module is fetched with the first.
import wasmUrl from '../pkg/archive/archive_bg.wasm?url';
import { messageOf } from './faults';
import type { ArchiveCalls, Content } from './messages';
import { compile } from './module';
import { WorkerHost } from './worker-host';

/** Work under way. */
export interface Working<Result> {
  /** Rejects with `SceneFaults` where the module refuses; never settles after `stop`. */
  done: Promise<Result>;
  stop(): void;
}

let module: Promise<WebAssembly.Module> | null = null;

function compiled(): Promise<WebAssembly.Module> {
  module ??= compile(wasmUrl).catch((error: unknown) => {
    // The next piece of work tries again.
    module = null;
    throw new Error(`the part of the page for attachments could not be loaded (${messageOf(error)})`);
  });
  return module;
}

function work<Result>(ask: (host: WorkerHost<ArchiveCalls>) => Promise<Result>): Working<Result> {
  const host = new WorkerHost<ArchiveCalls>(
    () => new Worker(new URL('./archive.worker.ts', import.meta.url), { type: 'module' }),
    1,
  );
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
}

/** Takes a ZIP apart. */
export const unpack = (
  file: File,
  progress: (doing: ArchiveCalls['unpack']['progress']) => void,
): Working<ArchiveCalls['unpack']['answer']> => work((host) => host.ask('unpack', file, { progress }));

/** The scene file of a scene with attachments. */
export const pack = (text: string, contents: Content[]): Promise<Blob> =>
  work((host) => host.ask('pack', { text, contents })).done;

/** What it takes to attach a file: the edit, and what the file holds. */
export const attaching = (given: ArchiveCalls['attach']['given']): Working<ArchiveCalls['attach']['answer']> =>
  work((host) => host.ask('attach', given));
