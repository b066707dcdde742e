import { expect, test } from 'vitest';
import type { GlassChoice } from '../../src/engine/contract';
import { findGlasses } from '../../src/state/find-glasses';

const glass = (name: string, provenance: string, kind = ''): GlassChoice => ({
  id: name,
  name,
  provenance,
  kind,
  swatch: '',
  transmittance_y: 0.5,
});
const racks = [
  { family: 'white', glasses: [glass('Clear float', 'measured'), glass('White opal', 'estimated', 'opalescent')] },
  { family: 'red', glasses: [glass('Gold ruby', 'recipe')] },
  {
    family: 'green',
    glasses: [glass('Hammered green', 'estimated', 'rolled'), glass('Medieval blue-green', 'recipe')],
  },
];
const found = (typed: string): string[] =>
  findGlasses(racks, typed).flatMap(({ glasses }) => glasses.map(({ name }) => name));

test('a word is found at the beginning of words only', () => {
  expect(found('red')).toEqual(['Gold ruby']);
  expect(found('meas')).toEqual(['Clear float']);
  expect(found('opal')).toEqual(['White opal']);
  expect(found('pal')).toEqual([]);
});

test('every word typed must be found, in any order, also after a hyphen', () => {
  expect(found('ROLLED green')).toEqual(['Hammered green']);
  expect(found('blue-green')).toEqual(['Medieval blue-green']);
  expect(found('green medieval')).toEqual(['Medieval blue-green']);
});

test('nothing typed shows everything', () => {
  expect(found(' ')).toHaveLength(5);
});
