// The rows of the reading, as the page and the printed sheet show them.
import type { Glare, Report } from '../engine/contract';
import { frontOf, seesColour, type Front } from './front';
import { chromaticity, duv, kelvin, lux, share, whole } from './numbers';
import { wallRows } from './wall-rows';

export interface Row {
  name: string;
  text: string;
  unit?: string;
  /** Unrounded; null where there is none. */
  value?: number | null;
}

const lightRow = (name: string, value: number): Row => ({ name, value, text: lux(value), unit: 'lx' });
const shareRow = (name: string, value: number | null): Row => ({
  name,
  value,
  text: value === null ? '–' : share(value),
  unit: '',
});

/** The light in front, by where it comes from, and the other light at the viewing position. */
export function lightRows(report: Report): Row[] {
  const front = frontOf(report);
  const { plane, light } = front;
  const { vertical, horizontal } = report.viewing;
  return [
    shareRow('Of clear glass', front.share_of_clear),
    lightRow('Sky and ground', light.sky_ground_lx),
    lightRow('Sun through glass', light.sun_lx),
    lightRow('From the room', light.room_lx),
    plane === null
      ? lightRow('Horizontal at eye height', horizontal.total_lx)
      : lightRow('At the eye, facing the window', vertical.total_lx),
  ];
}

/** The cast and colour rendering, unless it is too dark to see colour, and the light outside. */
export function moreRows(report: Report): Row[] {
  const { viewing, outside, walls, leads } = report;
  const front = frontOf(report);
  const atEye =
    front.plane === null
      ? []
      : [
          lightRow('Horizontal at eye height', viewing.horizontal.total_lx),
          shareRow('Of clear glass, at the eye', viewing.share_of_clear),
        ];
  return [
    ...(seesColour(front) ? colourRows(front) : []),
    ...atEye,
    { name: 'Glare, facing the window', text: glareWords(viewing.glare) },
    { name: 'Outside, on the glass', text: lux(outside.vertical_on_glass_lx), unit: 'lx' },
    ...wallRows(walls, leads),
    { name: 'Outside, on the ground', text: lux(outside.global_horizontal_lx), unit: 'lx' },
  ];
}

/** "DGP 0.38, noticeable". */
function glareWords({ dgp, words }: Glare): string {
  return dgp === null ? words : `DGP ${dgp.toFixed(2)}, ${words}`;
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
