import { expect, test } from 'vitest';
import { parseDecimal } from '../../src/state/numbers';

test.each([
  ['6,5', ',', 6.5],
  ['6.5', '.', 6.5],
  ['.5', ',', 0.5],
  ['−3', ',', -3],
  ['0,125', ',', 0.125],
  ['4,000', ',', 4000],
  ['4,000', '.', 4],
  ['4.000', '.', 4000],
  ['12,000,000', ',', 12_000_000],
  ['4\u202f000', '\u202f', 4000],
  ['4 000', '\u00a0', 4000],
  ['4’000', '’', 4000],
  ["4'000", '’', 4000],
  ['1,200.5', ',', 1200.5],
  ['1.200,5', '.', 1200.5],
])('%s where %j groups digits', (typed, grouping, value) => {
  expect(parseDecimal(typed, '', grouping)).toBe(value);
});

test.each(['', 'thick', '1,2,3', '1,00,000', '1.200,300', '4,0000 px 3', '--1'])('%j is no number', (typed) => {
  expect(parseDecimal(typed, '', ',')).toBeNull();
});

test('a unit may follow', () => {
  expect(parseDecimal('4,000 px', 'px', ',')).toBe(4000);
  expect(parseDecimal('60%', '%', ',')).toBe(60);
});
