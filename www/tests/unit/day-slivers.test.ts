import { expect, test } from 'vitest';
import type { DayInstant } from '../../src/engine/contract';
import { daySlivers } from '../../src/state/day-slivers';

const instants = [0, 15, 30, 45].map((minute) => ({ minute, total_lx: 8, swatch: 'white' }) as DayInstant);
const marks = (oldFrom: number | null, reached: number | null) =>
  daySlivers(instants, 64, oldFrom, reached)
    .map(({ old, awaited }) => (old ? 'o' : awaited ? 'a' : '-'))
    .join('');

test('a sliver reaches halfway to its neighbours, as tall as the eye judges its light', () => {
  const slivers = daySlivers(instants, 64, null, null);
  expect(slivers.map(({ from, to }) => [from, to])).toEqual([
    [0, 7.5],
    [7.5, 22.5],
    [22.5, 37.5],
    [37.5, 52.5],
  ]);
  expect(slivers[0]?.height).toBeCloseTo(0.5, 12);
});

test('what is still of the day before is marked, while the new one comes and after a stop', () => {
  expect(marks(null, null)).toBe('----');
  expect(marks(null, -1)).toBe('aaaa');
  expect(marks(null, 15)).toBe('--aa');
  expect(marks(30, null)).toBe('--oo');
});
