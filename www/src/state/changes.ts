// What an action has changed of the scene: the one account by which everything on the page decides what to ask for
// anew. It is made here from the edit that the module returns.
import type { Edit } from '../engine/contract';

export interface ChangeSet {
  /** Name and note. */
  words: boolean;
  /** Who looks. */
  viewer: boolean;
  places: boolean;
  /** The scene's hour. */
  at: boolean;
  /** Site, sky, ground and horizon. */
  light: boolean;
  room: boolean;
  /** Where windows are in their wall. */
  placement: boolean;
  /** The drawing. */
  lines: boolean;
  /** What pieces are made of, protective glazing included. */
  pieces: boolean;
  /** The glasses that the scene brings with it. */
  glasses: boolean;
  /** Which variants there are, and which is shown. */
  variants: boolean;
}

type Part = keyof ChangeSet;

const PARTS: readonly Part[] = [
  'words',
  'viewer',
  'places',
  'at',
  'light',
  'room',
  'placement',
  'lines',
  'pieces',
  'glasses',
  'variants',
];

const of = (parts: readonly Part[]): ChangeSet =>
  Object.fromEntries(PARTS.map((part) => [part, parts.includes(part)])) as unknown as ChangeSet;

export const NOTHING: ChangeSet = of([]);
export const EVERYTHING: ChangeSet = of(PARTS);

const TOUCHES: Record<Exclude<Edit['edit'], 'together'>, Part> = {
  set_name: 'words',
  set_note: 'words',
  set_viewer: 'viewer',
  set_places: 'places',
  set_at: 'at',
  set_site: 'light',
  set_sky: 'light',
  set_ground: 'light',
  set_room: 'room',
  set_makeup: 'pieces',
  set_protective_glazing: 'pieces',
};

function add(edit: { edit: string; edits?: unknown }, parts: Set<Part>): void {
  if (edit.edit === 'together') {
    for (const one of edit.edits as { edit: string }[]) add(one, parts);
    return;
  }
  const part = (TOUCHES as Record<string, Part | undefined>)[edit.edit];
  // What this page does not know may touch anything.
  for (const found of part === undefined ? PARTS : [part]) parts.add(found);
}

/**
 * What an action has changed. `made`: the edit, as text, by which copies of the scene follow it; `action`: what was
 * done. An action on the variants changes them whatever their edits are, and so may a step in the history.
 */
export function changesOf(made: string, action: 'edit' | 'vary' | 'step'): ChangeSet {
  const parts = new Set<Part>(action === 'edit' ? [] : ['variants']);
  add(JSON.parse(made) as { edit: string }, parts);
  return of([...parts]);
}

const any = (changes: ChangeSet, parts: readonly Part[]): boolean => parts.some((part) => changes[part]);

/** Whether the light at the viewing position is another one at the same hour, so that day and year are out of date. */
export const changesLight = (changes: ChangeSet): boolean =>
  any(changes, ['places', 'light', 'room', 'placement', 'lines', 'pieces', 'glasses']);

/** Whether the place and light of the windows, or what is doubtful about them, are to be read again. */
export const changesSurroundings = (changes: ChangeSet): boolean =>
  any(changes, ['at', 'light', 'room', 'placement', 'lines']);

/** Whether the section of the chosen pieces, in the light of the hour, is to be read again. */
export const changesSection = (changes: ChangeSet): boolean =>
  any(changes, ['at', 'light', 'room', 'placement', 'lines', 'pieces', 'glasses']);
