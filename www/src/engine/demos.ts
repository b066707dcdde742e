// The demo scenes. Their names come with the page; the file of one is fetched when it is opened.
import { messageOf } from './faults';
import { Outdated, fetchPart } from './fetch-part';

const FOLDER = '../../../demo-scenes/';
const FILES = import.meta.glob<string>('../../../demo-scenes/*.json', {
  query: '?url',
  import: 'default',
  eager: true,
});
const NAMES = import.meta.glob<string>('../../../demo-scenes/*.json', { import: 'name', eager: true });
const NOTES = import.meta.glob<string>('../../../demo-scenes/*.json', { import: 'note', eager: true });

export interface Demo {
  id: string;
  name: string;
  note: string;
}

/** In the order of their files' names; the page opens with the first. */
export const DEMOS: readonly Demo[] = Object.keys(FILES).map((path) => ({
  id: path.slice(FOLDER.length, -'.json'.length),
  name: NAMES[path] ?? '',
  note: NOTES[path] ?? '',
}));

/** The demo of that id, or the first. */
export const demoOrFirst = (id: string | null): string => (DEMOS.find((demo) => demo.id === id) ?? DEMOS[0])?.id ?? '';

/** A demo's file could not be fetched. */
export class NotFetched extends Error {
  constructor(cause: unknown) {
    super(messageOf(cause), { cause });
    this.name = 'NotFetched';
  }
}

/** The scene file of a demo. Rejects with `NotFetched`, or with `Outdated` where the server no longer has it. */
export async function fetchDemo(id: string): Promise<string> {
  const address = FILES[`${FOLDER}${id}.json`];
  if (address === undefined) throw new Error(`there is no demo “${id}”`);
  try {
    return await (await fetchPart(address)).text();
  } catch (error) {
    throw error instanceof Outdated ? error : new NotFetched(error);
  }
}
