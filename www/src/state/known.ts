// How well the light in front is known, in words.
import type { LightRanges, Ranges } from '../engine/contract';
import { rangeInFront } from './front';
import { luxRange } from './numbers';

/** Both ends of the range: "100 to 190 lx in nine cases of ten". */
export function rangeWords(ranges: Ranges): string {
  return `${ends(ranges.everything)} in nine cases of ten`;
}

/** The same if only the glass were uncertain. */
export const glassWords = (ranges: Ranges): string => ends(ranges.glass_alone);

const ends = (light: LightRanges): string => luxRange(rangeInFront(light));
