// The scale bar shown when the window is zoomed in.
import { MM_PER_INCH, type System } from './lengths';
import { figures } from './numbers';

export interface ScaleBar {
  px: number;
  words: string;
}

const LEAST_PX = 56;
/** Inches that a folding rule marks. */
const INCHES: readonly (readonly [number, string])[] = [
  [1 / 8, '1/8 in'],
  [1 / 4, '1/4 in'],
  [1 / 2, '1/2 in'],
  [1, '1 in'],
  [2, '2 in'],
  [4, '4 in'],
  [6, '6 in'],
  [12, '1 ft'],
  [24, '2 ft'],
  [48, '4 ft'],
  [120, '10 ft'],
];

/** The shortest round length whose bar is long enough to read. */
export function scaleBar(pxPerMm: number, system: System): ScaleBar {
  const least = LEAST_PX / pxPerMm;
  if (system === 'feet') {
    const [inches, words] = INCHES.find(([inches]) => inches * MM_PER_INCH >= least) ?? INCHES[INCHES.length - 1]!;
    return { px: inches * MM_PER_INCH * pxPerMm, words };
  }
  const power = 10 ** Math.floor(Math.log10(least));
  const mm = ([1, 2, 5].find((times) => times * power >= least) ?? 10) * power;
  return { px: mm * pxPerMm, words: mm >= 1000 ? `${figures(mm / 1000)} m` : `${figures(mm)} mm` };
}
