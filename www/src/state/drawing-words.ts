// What the page says about a drawing for a new window.
import type { DrawingLayer, DrawingPlace, Fault, Role } from '../engine/contract';

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

/** Whether a refusal says that the file gives no real size at all. */
export const lacksWidth = (faults: readonly Fault[]): boolean => faults.some(isMissingWidth);

const isMissingWidth = ({ path, found }: Fault): boolean => path === WIDTH && found === NO_WIDTH;

/** What the crate `new_window` advises where no edge is found, and what to do where the layers are not known. */
const TAKE_AS_EDGE = ': take the layer that has it as the edge';
const DRAW_THE_EDGE = ': close it in the drawing program, or name its layer “outline” there, and choose the file again';
/** What the reason of `drawing_io` may say already. */
const NAME_ITS_LAYER = 'name its layer outline';

/**
 * Why a drawing was refused, in sentences; none where only its width is missing. `layered`: the page lists its layers,
 * so that they can be taken as something else. `say`: writes the numbers in a sentence for the reader.
 */
export const refusal = (faults: readonly Fault[], layered: boolean, say: (words: string) => string): string[] =>
  faults
    .filter((fault) => !isMissingWidth(fault))
    .map(({ expected, found }) => {
      const instead = found.includes(NAME_ITS_LAYER) ? '' : DRAW_THE_EDGE;
      return say(`Expected ${layered ? expected : expected.replace(TAKE_AS_EDGE, instead)}; found ${found}.`);
    });

/** Places to look at that are listed one by one and marked: a drawing with more has worse faults. */
export const MOST_PLACES = 100;

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
