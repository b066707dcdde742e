// Scene files with attachments, from the page's side.
import wasmUrl from '../pkg/archive/archive_bg.wasm?url';
import { compiledPart } from './compiled-part';
import type { ArchiveCalls, Content } from './messages';
import { throwaway, type Working } from './throwaway';

const work = throwaway<ArchiveCalls>(
  compiledPart(wasmUrl, 'the part of the page for attachments'),
  () => new Worker(new URL('./archive.worker.ts', import.meta.url), { type: 'module' }),
);

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
