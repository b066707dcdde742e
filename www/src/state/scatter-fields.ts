// The fields that say how a layer scatters: how much, how much of that forwards, and how far aside.
import { inPercent } from './numbers';
import type { LayerKind, Scattering, ScatteringChange } from '../engine/contract';

export interface ScatterField {
  of: 'scatters' | 'forwards' | 'half_width_deg';
  label: string;
  unit: string;
  /** Null if the pieces differ. */
  value: number | null;
  /** As usual for its kind, until it is changed. */
  usual: boolean;
  least: number;
  most: number;
  digits: number;
  hint: string;
}

const AT_USUAL_DENSITY = ' at the usual density of the paint; denser paint scatters more';

/** Those that mean anything: what scatters nothing has no lobe, and one that carries nothing no width. */
export function scatterFields(scattering: Scattering, kind: LayerKind): ScatterField[] {
  const { scatters, forwards, half_width_deg, usual } = scattering;
  const share = { unit: '%', least: 0, most: 100 };
  const digits = (value: number | null): number => (Number.isInteger(value ?? 0) ? 0 : 1);
  const [all, ahead] = [inPercent(scatters), inPercent(forwards)];
  const fields: ScatterField[] = [
    {
      ...share,
      of: 'scatters',
      label: 'Scatters',
      value: all,
      usual: usual[0],
      digits: digits(all),
      hint: `from 0 to 100, such as 35: the share of the passing light that loses its direction${kind === 'paint' ? AT_USUAL_DENSITY : ''}`,
    },
  ];
  if (scatters !== 0) {
    fields.push({
      ...share,
      of: 'forwards',
      label: 'Forwards',
      value: ahead,
      usual: usual[1],
      digits: digits(ahead),
      hint: 'from 0 to 100, such as 80: the share of the scattered light that stays near its old direction; the rest goes every way alike',
    });
  }
  if (scatters !== 0 && forwards !== 0) {
    fields.push({
      of: 'half_width_deg',
      label: 'Spread',
      unit: '°',
      value: half_width_deg === null ? null : Math.round(half_width_deg * 10) / 10,
      usual: usual[2],
      least: 1,
      most: 45,
      digits: digits(half_width_deg === null ? null : Math.round(half_width_deg * 10) / 10),
      hint: 'from 1 to 45, such as 15: how far aside, in degrees, the light scattered forwards is half as bright',
    });
  }
  return fields;
}

/** What a value typed into a field changes. */
export function scatterChange(of: ScatterField['of'], value: number): ScatteringChange {
  return { [of]: of === 'half_width_deg' ? value : value / 100 };
}
