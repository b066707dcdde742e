// How well the light in front is known, in words.
import type { Ranges } from '../engine/contract';
import { rangeInFront } from './front';
import { steps } from './numbers';

/** Both ends of the range: "100 to 190 lx in nine cases of ten". */
export function rangeWords(ranges: Ranges): string {
  return `${ends(ranges.everything)} in nine cases of ten`;
}

/** The same if only the glass were uncertain. */
export const glassWords = (ranges: Ranges): string => ends(ranges.glass_alone);

function ends(light: Ranges['everything']): string {
  const { p05, p95, step } = rangeInFront(light);
  return step > 0 ? `${steps(p05, step)} to ${steps(p95, step)} lx` : `${steps(p05, 0.1)} lx`;
}
