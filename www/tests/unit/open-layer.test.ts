import { expect, test } from 'vitest';
import type { LayerKey } from '../../src/engine/contract';
import { INNERMOST, nameOf, openLayer } from '../../src/state/open-layer';

const glass: LayerKey = { layer: 'plate', plate: 0 };
const flash: LayerKey = { layer: 'flash', plate: 0 };
const trace = (face: 'inside' | 'outside'): LayerKey => ({ layer: 'paint', plate: 0, face, kind: 'trace', nth: 0 });
const matting: LayerKey = { layer: 'paint', plate: 0, face: 'inside', kind: 'matting', nth: 0 };
const section = (...keys: LayerKey[]): { key: LayerKey }[] => keys.map((key) => ({ key }));

test('the layer opened last stays open in other pieces', () => {
  expect(openLayer(section(glass, matting), matting)).toBe(nameOf(matting));
});

test('a piece without it opens the same kind of paint, otherwise its glass', () => {
  expect(openLayer(section(trace('outside'), glass), trace('inside'))).toBe(nameOf(trace('outside')));
  expect(openLayer(section(glass, matting), trace('inside'))).toBe(INNERMOST);
  expect(openLayer(section(glass), flash)).toBe(INNERMOST);
});

test('what the user has closed stays closed', () => {
  expect(openLayer(section(glass, matting), null)).toBeNull();
});
