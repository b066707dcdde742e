import { expect, test } from 'vitest';
import { scatterChange, scatterFields } from '../../src/state/scatter-fields';
import type { Scattering } from '../../src/engine/contract';

const MATTING: Scattering = { scatters: 0.35, forwards: 0.8, half_width_deg: 15, usual: [true, false, true] };

test('shares are in per cent, and each says whether it is usual', () => {
  const fields = scatterFields(MATTING, 'paint').map(({ of, value, unit, usual }) => [of, value, unit, usual]);
  expect(fields).toEqual([
    ['scatters', 35, '%', true],
    ['forwards', 80, '%', false],
    ['half_width_deg', 15, '°', true],
  ]);
});

test('what scatters nothing has no lobe, one that carries nothing no spread', () => {
  const of = (scattering: Partial<Scattering>): string[] =>
    scatterFields({ ...MATTING, ...scattering }, 'glass').map((field) => field.label);
  expect(of({ scatters: 0 })).toEqual(['Scatters']);
  expect(of({ forwards: 0 })).toEqual(['Scatters', 'Forwards']);
  // Pieces that differ.
  expect(of({ scatters: null, forwards: null, half_width_deg: null })).toEqual(['Scatters', 'Forwards', 'Spread']);
});

test('only of paint is the share that at its usual density', () => {
  expect(scatterFields(MATTING, 'paint')[0]?.hint).toContain('usual density');
  expect(scatterFields(MATTING, 'deposit')[0]?.hint).not.toContain('density');
});

test('numbers that are not whole keep their tenths', () => {
  const [share, , spread] = scatterFields({ ...MATTING, scatters: 0.0954, half_width_deg: 12.34 }, 'deposit');
  expect([share?.value, share?.digits, spread?.value, spread?.digits]).toEqual([9.5, 1, 12.3, 1]);
});

test('a field changes its own value only', () => {
  expect(scatterChange('forwards', 60)).toEqual({ forwards: 0.6 });
  expect(scatterChange('half_width_deg', 20)).toEqual({ half_width_deg: 20 });
});
