// The slivers of the day ribbon: how wide and how tall the light of each computed instant stands.
import type { DayInstant } from '../engine/contract';
import { MINUTES_OF_DAY } from './civil';

export interface DaySliver {
  /** Minutes of the civil day. */
  from: number;
  to: number;
  /** Share of the height of the highest. */
  height: number;
  swatch: string | null;
  /** Not recalculated, after a stop. */
  old: boolean;
  /** Not yet recalculated, while the day is. */
  awaited: boolean;
}

/** Half of the usual time between two instants, minutes. */
const HALF = 7.5;

/**
 * A sliver for each instant, reaching halfway to its neighbours.
 *
 * @param most the highest light level, lx
 * @param oldFrom the minute from which on they are out of date, or null
 * @param reached the last minute that is up to date while the day is computed, or null
 */
export function daySlivers(
  instants: readonly DayInstant[],
  most: number,
  oldFrom: number | null,
  reached: number | null,
): DaySliver[] {
  return instants.map((instant, i) => {
    const before = instants[i - 1]?.minute;
    const after = instants[i + 1]?.minute;
    const from =
      before === undefined || instant.minute - before > 4 * HALF
        ? instant.minute - HALF
        : (instant.minute + before) / 2;
    const to =
      after === undefined || after - instant.minute > 4 * HALF ? instant.minute + HALF : (instant.minute + after) / 2;
    return {
      old: oldFrom !== null && instant.minute >= oldFrom,
      awaited: reached !== null && instant.minute > reached,
      from: Math.max(0, from),
      to: Math.min(MINUTES_OF_DAY, to),
      // Lightness is roughly the cube root of luminance: a dim morning stays visible beside the sun itself.
      height: Math.cbrt(instant.total_lx / most),
      swatch: instant.swatch,
    };
  });
}
