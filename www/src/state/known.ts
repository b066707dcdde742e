// How well the light in front is known, in words.
import type { FigureRange, Ranges } from '../engine/contract';
import { rangeInFront } from './front';
import { luxRange, share } from './numbers';

/** Ends that are so nearly as far from the figure, as a share of the farther, have one number. */
const AS_FAR = 0.1;

/** Both ends of the range: "100 to 190 lx in nine cases of ten". */
export const rangeWords = (ranges: Ranges): string =>
  `${luxRange(rangeInFront(ranges.everything))} in nine cases of ten`;

/**
 * How far the light may lie from the figure if only the glass were uncertain: "± 0.7%", "−5% to +8%". A share, because
 * the figure is rounded by everything that is uncertain and may lie outside a range as narrow as the glass alone makes.
 * Null without light. `lux`: the figure, unrounded.
 */
export function glassWords(ranges: Ranges, lux: number): string | null {
  return lux > 0 ? shareRange(rangeInFront(ranges.glass_alone), lux) : null;
}

/** Both ends of a range by their distance from the figure, as shares of it. */
export function shareRange({ p05, p95 }: Pick<FigureRange, 'p05' | 'p95'>, figure: number): string {
  const [down, up] = [p05 / figure - 1, p95 / figure - 1];
  const farther = Math.max(-down, up);
  const alike = down <= 0 && up >= 0 && Math.abs(up + down) <= AS_FAR * farther;
  if (alike) return `± ${share(farther)}`;
  return `${signed(down)} to ${signed(up)}`;
}

function signed(value: number): string {
  const text = share(Math.abs(value));
  if (text === share(0)) return text;
  return `${value < 0 ? '−' : '+'}${text}`;
}
