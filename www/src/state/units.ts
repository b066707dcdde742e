// Lengths and areas in the user's units. In a component's markup or a `$derived`, they update with that choice. Lux and
// all other quantities of light have one unit everywhere.
import * as lengths from './lengths';
import { preferences } from './preferences.svelte';
import { localised } from './sentence';

export type { Kind } from './lengths';

/** A thickness of glass, given in mm: `3.1 mm`, `0.122 in`. */
export const thicknessMm = (mm: number): string => lengths.length(mm, 'thickness', preferences.system);
/** A short distance between lines, given in mm: `2.4 mm`, `3/32 in`. */
export const gapMm = (mm: number): string => lengths.length(mm, 'gap', preferences.system);
/** A length in the plane of the window, given in mm: `140 mm`, `5 1/2 in`. */
export const lengthMm = (mm: number): string => lengths.length(mm, 'panel', preferences.system);
/** A length in the room, given in m: `1.55 m`, `5 ft 1 in`. */
export const lengthM = (m: number): string => lengths.length(m, 'room', preferences.system);
/** Width × height in the plane of the window, given in mm: `600 × 1800 mm`, `23 5/8 × 70 7/8 in`. */
export const sizeMm = (width: number, height: number): string => lengths.size(width, height, preferences.system);
/** An area, given in mm²: `38 cm²`, `5.9 sq in`. */
export const areaMm2 = (mm2: number): string => lengths.area(mm2, preferences.system);

/** A sentence from a module, its lengths in the plane of the window, which it gives in mm, in the user's units. */
export const saidWithLengths = (words: string): string =>
  preferences.system === 'metric' ? localised(words) : lengths.inInches(words);

/** For fields: a value without its unit, the unit, the typed text as a value, and the step of the keys. */
export const shownLength = (value: number, kind: lengths.Kind): string =>
  lengths.shown(value, kind, preferences.system);
export const leastLength = (value: number, kind: lengths.Kind): string =>
  lengths.limit(value, kind, preferences.system, true);
export const mostLength = (value: number, kind: lengths.Kind): string =>
  lengths.limit(value, kind, preferences.system, false);
export const unitOfLength = (kind: lengths.Kind): string => lengths.unitOf(kind, preferences.system);
export const parseLength = (typed: string, kind: lengths.Kind): number | null =>
  lengths.parseLength(typed, kind, preferences.system);
export const stepOfLength = (kind: lengths.Kind): number => lengths.stepOf(kind, preferences.system);
