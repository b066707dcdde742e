// Asks a throw-away worker whether a file is a scene that can be built. The page can stop it at any time.
import type { Fault } from './contract';
import { SceneFaults } from './faults';
import type { FromCheck, ToCheck } from './messages';

export type Doing = 'reading' | 'building';

export interface Checking {
  /** The text of the file; rejects with `SceneFaults`, never resolves after `stop`. */
  text: Promise<string>;
  stop(): void;
}

const fault = (expected: string, found: string): SceneFaults =>
  new SceneFaults([{ path: '', expected, found } satisfies Fault]);

/** A length that a reader can compare: 64 MB. */
const megabytes = (bytes: number): string =>
  `${(bytes / 2 ** 20).toLocaleString(undefined, { maximumFractionDigits: 1 })} MB`;

export function checkFile(
  module: WebAssembly.Module,
  file: File,
  mostBytes: number,
  doing: (what: Doing) => void,
): Checking {
  // Before a byte of it is read.
  if (file.size > mostBytes) {
    const text = Promise.reject(fault(`a scene file of at most ${megabytes(mostBytes)}`, megabytes(file.size)));
    return { text, stop: () => undefined };
  }
  const worker = new Worker(new URL('./check.worker.ts', import.meta.url), { type: 'module' });
  const text = new Promise<string>((resolve, reject) => {
    worker.onmessage = ({ data }: MessageEvent<FromCheck>) => {
      if (data.kind === 'doing') doing(data.what);
      else if (data.kind === 'whole') resolve(data.text);
      else reject(new SceneFaults(data.faults));
    };
    worker.onerror = (event) => {
      reject(fault('a scene that can be built', event.message || 'one that stops the engine'));
    };
  });
  const stop = (): void => worker.terminate();
  void text.then(stop, stop);
  worker.postMessage({ module, file } satisfies ToCheck);
  return { text, stop };
}
