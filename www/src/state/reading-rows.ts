// The rows of the reading, as the page and the printed sheet show them.
import type { FigureRange, Glare, Ranges, Report } from '../engine/contract';
import { frontOf, rangeInFront, seesColour, type Front } from './front';
import {
  addsUp,
  chromaticity,
  decimals,
  duv,
  kelvin,
  lux,
  luxChange,
  partLux,
  roundedLux,
  roundedShare,
  share,
  whole,
} from './numbers';
import { wallRows } from './wall-rows';

export interface Row {
  name: string;
  text: string;
  unit?: string;
  /** Unrounded; null where there is none. */
  value?: number | null;
  /** What to know of it, beneath. */
  note?: string;
}

type Step = number | null;

const ROUNDED = 'Rounded, so the parts need not add up.';

const lightRow = (name: string, value: number, text: string): Row => ({ name, value, text, unit: 'lx' });
const shareRow = (name: string, value: number | null, step: Step): Row => ({
  name,
  value,
  text: value === null ? '–' : roundedShare(value, step),
  unit: '',
});

/** The steps to which figures are rounded; null until the ranges are known. */
function stepsOf(ranges: Ranges | null) {
  const known = ranges?.everything;
  return {
    front: known === undefined ? null : rangeInFront(known).figure_step,
    vertical: known?.vertical_lx.figure_step ?? null,
    horizontal: known?.horizontal_lx.figure_step ?? null,
    share: known?.share_of_clear?.figure_step ?? null,
  };
}

/** The light level in front, as exact as it is known. */
export const levelText = (report: Report, ranges: Ranges | null): string =>
  roundedLux(frontOf(report).light.total_lx, stepsOf(ranges).front);

/** A change of the light in front, as exact as the light is known that it ends at. */
export const changeText = ({ from, to }: { from: number; to: number }, ranges: Ranges | null): string =>
  luxChange(from, to, stepsOf(ranges).front);

/** The light in front, by where it comes from, and the other light at the viewing position. */
export function lightRows(report: Report, ranges: Ranges | null): Row[] {
  const front = frontOf(report);
  const { plane, light } = front;
  const { vertical, horizontal } = report.viewing;
  const steps = stepsOf(ranges);
  const part = (name: string, value: number): Row => lightRow(name, value, partLux(value, light.total_lx, steps.front));
  const apart = !addsUp([light.sky_ground_lx, light.sun_lx, light.room_lx], light.total_lx, steps.front);
  return [
    shareRow('Of clear glass', front.share_of_clear, steps.share),
    part('Sky and ground', light.sky_ground_lx),
    part('Sun through glass', light.sun_lx),
    { ...part('From the room', light.room_lx), ...(apart ? { note: ROUNDED } : {}) },
    plane === null
      ? otherRow('Horizontal at eye height', horizontal.total_lx, steps.horizontal)
      : otherRow('At the eye, facing the window', vertical.total_lx, steps.vertical),
  ];
}

const otherRow = (name: string, value: number, step: Step): Row => lightRow(name, value, roundedLux(value, step));

/** The cast and colour rendering, unless it is too dark to see colour, and the light outside. */
export function moreRows(report: Report, ranges: Ranges | null): Row[] {
  const { viewing, outside, walls, leads } = report;
  const front = frontOf(report);
  const steps = stepsOf(ranges);
  const atEye =
    front.plane === null
      ? []
      : [
          otherRow('Horizontal at eye height', viewing.horizontal.total_lx, steps.horizontal),
          // About as well known as that of the plane.
          shareRow('Of clear glass, at the eye', viewing.share_of_clear, steps.share),
        ];
  return [
    ...(seesColour(front) ? colourRows(front) : []),
    ...atEye,
    glareRow(viewing.glare, ranges?.dgp ?? null),
    ...(viewing.glare.sun_share > 0
      ? [{ name: 'Of the sun’s disc, in sight', text: share(viewing.glare.sun_share) }]
      : []),
    // With houses and skyline, but without the window's own wall.
    {
      name: walls.length > 0 ? 'Outside, before the wall' : 'Outside, on the glass',
      text: lux(outside.vertical_on_glass_lx),
      unit: 'lx',
    },
    ...wallRows(walls, leads),
    // Nothing that stands around shades it.
    { name: 'Outside, on open ground', text: lux(outside.global_horizontal_lx), unit: 'lx' },
  ];
}

/** "DGP 0.38, noticeable", and how well that is known. */
function glareRow({ dgp, words }: Glare, range: FigureRange | null): Row {
  const name = 'Glare, facing the window';
  if (dgp === null) return { name, text: words };
  const ends = range === null ? '' : `${decimals(range.p05, 2)} to ${decimals(range.p95, 2)} in nine cases of ten. `;
  return {
    name,
    text: `DGP ${decimals(dgp, 2)}, ${words}`,
    note: `${ends}The study behind it sat people at desks in offices, and they differed widely.`,
  };
}

/** The cast and colour rendering, of a light in which colour is seen. */
function colourRows({ cast, ra }: Front): Row[] {
  const figures: string[] = [];
  if (cast.cct_k !== null) {
    figures.push(`${kelvin(cast.cct_k)} K`);
    if (cast.duv !== null) figures.push(`Duv ${duv(cast.duv)}`);
  } else if (cast.dominant_nm !== null) {
    figures.push(`${whole(cast.dominant_nm)} nm`);
    if (cast.excitation_purity !== null) figures.push(`purity ${share(cast.excitation_purity)}`);
  }
  const shift = cast.shift_from_clear === null ? '' : chromaticity(cast.shift_from_clear);
  return [
    { name: cast.cct_k === null ? 'Dominant wavelength' : 'Colour temperature', text: figures.join(', ') },
    { name: 'Shift from clear glass, Δu′v′', text: shift },
    { name: 'Colour rendering, Ra', text: ra === null ? '' : whole(ra) },
  ].filter(({ text }) => text !== '');
}
