// Reads a scene file, JSON or ZIP, and checks that it can be built before anything on the page changes.
import { unpack } from './archive';
import { beginsAsJson } from './bytes';
import { checkFile, type Doing as Checking } from './check';
import type { Content } from './messages';

export type Doing = Checking | 'unpacking';

export interface Reading {
  /** Rejects with `SceneFaults`; of no more use after `stop`. */
  scene: Promise<{ text: string; contents: Content[] }>;
  stop(): void;
}

/** `mostBytes`: longest scene as text. */
export function readSceneFile(
  module: WebAssembly.Module,
  file: File,
  mostBytes: number,
  doing: (what: Doing) => void,
): Reading {
  let stop: () => void = () => undefined;
  let stopped = false;
  const checked = async (text: File, unpacked: boolean): Promise<string> => {
    if (stopped) throw new Error('stopped');
    const check = checkFile(module, text, { mostBytes, unpacked }, doing);
    stop = () => check.stop();
    return check.text;
  };
  const read = async (): Promise<{ text: string; contents: Content[] }> => {
    const plain = await beginsAsJson(file);
    if (stopped) throw new Error('stopped');
    if (plain) return { text: await checked(file, false), contents: [] };
    // Also names what else it is, such as a photograph.
    const unpacking = unpack(file, doing);
    stop = () => unpacking.stop();
    const { text, contents } = await unpacking.done;
    return { text: await checked(new File([text], file.name), true), contents };
  };
  return {
    scene: read(),
    stop: () => {
      stopped = true;
      stop();
    },
  };
}
