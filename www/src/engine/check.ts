// Asks a temporary worker whether a file is a scene that can be built. The page can stop it at any time.
import { bytesInWords, limitInWords } from './bytes';
import { SceneFaults, messageOf } from './faults';
import type { CheckCalls } from './messages';
import { WorkerHost } from './worker-host';

export type Doing = CheckCalls['check']['progress'];

export interface Checking {
  /** The text of the file; rejects with `SceneFaults`, never resolves after `stop`. */
  text: Promise<string>;
  stop(): void;
}

const fault = (expected: string, found: string): SceneFaults => new SceneFaults([{ path: '', expected, found }]);

export function checkFile(
  module: WebAssembly.Module,
  file: File,
  { mostBytes, unpacked }: { mostBytes: number; unpacked: boolean },
  doing: (what: Doing) => void,
): Checking {
  // Checked before the file is read.
  if (file.size > mostBytes) {
    const text = Promise.reject(fault(`a scene file of at most ${limitInWords(mostBytes)}`, bytesInWords(file.size)));
    return { text, stop: () => undefined };
  }
  const host = new WorkerHost<CheckCalls>(
    () => new Worker(new URL('./check.worker.ts', import.meta.url), { type: 'module' }),
    1,
  );
  host.begin(module);
  const text = host.ask('check', { file, unpacked }, { progress: doing }).catch((error: unknown) => {
    if (error instanceof SceneFaults) throw error;
    throw fault('a scene that can be built', `one that stops the engine (${messageOf(error)})`);
  });
  const stop = (): void => host.stop();
  void text.then(stop, stop);
  return { text, stop };
}
