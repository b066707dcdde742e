// The rows of the reading, as the page and the printed sheet show them.
import type { Report } from '../engine/contract';
import { chromaticity, duv, kelvin, lux, plusMinus, share, whole } from './numbers';

export interface Row {
  name: string;
  text: string;
  unit?: string;
  /** Unrounded; null where there is none. */
  value?: number | null;
}

/** The light at the viewing position, by where it comes from. */
export function lightRows({ viewing }: Report): Row[] {
  const { share_of_clear, vertical, horizontal } = viewing;
  const light = (name: string, value: number): Row => ({ name, value, text: lux(value), unit: 'lx' });
  return [
    {
      name: 'Of clear glass',
      value: share_of_clear,
      text: share_of_clear === null ? '–' : share(share_of_clear),
      unit: '',
    },
    light('Sky and ground', vertical.sky_ground_lx),
    light('Sun through glass', vertical.sun_lx),
    light('From the room', vertical.room_lx),
    light('Horizontal at eye height', horizontal.total_lx),
  ];
}

/** The cast, colour rendering and the light outside. */
export function moreRows({ viewing, outside }: Report): Row[] {
  const { cast, ra } = viewing;
  const figures: string[] = [];
  if (cast.cct_k !== null) {
    figures.push(`${kelvin(cast.cct_k)} K`);
    if (cast.duv !== null) figures.push(`Duv ${duv(cast.duv)}`);
  } else if (cast.dominant_nm !== null) {
    figures.push(`${whole(cast.dominant_nm)} nm`);
    if (cast.excitation_purity !== null) figures.push(`purity ${share(cast.excitation_purity)}`);
  }
  const uncertainty = cast.uncertainty_uv === null ? '' : `\u00a0± ${plusMinus(cast.uncertainty_uv)}`;
  const shift = cast.shift_from_clear === null ? '' : `${chromaticity(cast.shift_from_clear)}${uncertainty}`;
  return [
    { name: cast.cct_k === null ? 'Dominant wavelength' : 'Colour temperature', text: figures.join(', ') },
    { name: 'Shift from clear glass, Δu′v′', text: shift },
    { name: 'Colour rendering, Ra', text: ra === null ? '' : whole(ra) },
    { name: 'Outside, on the glass', text: lux(outside.vertical_on_glass_lx), unit: 'lx' },
    { name: 'Outside, on the ground', text: lux(outside.global_horizontal_lx), unit: 'lx' },
  ].filter(({ text }) => text !== '');
}
