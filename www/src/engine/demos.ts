// The demo scenes. Their names come with the page; the file of one is fetched when it is opened.

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

/** The scene file of a demo. Rejects where it cannot be fetched. */
export async function fetchDemo(id: string): Promise<string> {
  const response = await fetch(FILES[`${FOLDER}${id}.json`] ?? id);
  if (!response.ok) throw new Error(`${response.url}: the server answered ${response.status}`);
  return response.text();
}
