// What the page says about a drawing for a new window.
import type { DrawingLayer, DrawingPlace, Fault, Role } from '../engine/contract';
import { localised } from './sentence';

/** What a layer can be taken as, in the trade's words. */
export const ROLES: readonly { role: Role; name: string }[] = [
  { role: 'outline', name: 'edge' },
  { role: 'cutlines', name: 'leads' },
  { role: 'bars', name: 'bars' },
  { role: 'ignored', name: 'left out' },
];

export const roleName = (role: Role): string => ROLES.find((one) => one.role === role)?.name ?? role;

/** Path of the faults that ask for the window's real width, and what is found there if the file gives none: as the
 * crate `new_window` has them. */
const WIDTH = 'width_mm';
const NO_WIDTH = 'none';

/** Whether a refusal asks for the window's real width. */
export const asksWidth = (faults: readonly Fault[]): boolean => faults.some(({ path }) => path === WIDTH);

/** Why a drawing was refused, in sentences; none where only its width is missing. */
export const refusal = (faults: readonly Fault[]): string[] =>
  faults
    .filter(({ path, found }) => path !== WIDTH || found !== NO_WIDTH)
    .map(({ expected, found }) => localised(`Expected ${expected}; found ${found}.`));

/** Longest name of a scene. */
export const LONGEST_NAME = 200;

/** The name that a window gets from its drawing's file. */
export function nameOf(file: string): string {
  const stem = file
    .replace(/\.[^.]*$/, '')
    .trim()
    .slice(0, LONGEST_NAME);
  return stem === '' ? 'New window' : stem;
}

/** What a layer is taken as: as asked for, if that has not been read yet. */
export function roleOf(layer: DrawingLayer, asked: ReadonlyMap<number, Role>): Role {
  const [first] = layer.groups;
  return (first === undefined ? undefined : asked.get(first)) ?? layer.taken_as;
}

/** What should be looked at; lines that were joined because they missed one another by a hair need no look. */
export const toLookAt = (places: readonly DrawingPlace[]): DrawingPlace[] =>
  places.filter(({ kind }) => kind !== 'joined');

/** What was joined, in a sentence; null if nothing was. */
export function joinedWords(places: readonly DrawingPlace[]): string | null {
  const joined = places.length - toLookAt(places).length;
  if (joined === 0) return null;
  return joined === 1
    ? 'One line that just missed another was joined to it.'
    : `${joined} lines that just missed another were joined to it.`;
}

export const counted = (count: number, one: string, several: string): string =>
  `${count} ${count === 1 ? one : several}`;
