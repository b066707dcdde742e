import { expect, test } from 'vitest';
import type { FigureRange } from '../../src/engine/contract';
import {
  addsUp,
  decimals,
  lux,
  luxChange,
  partLux,
  luxRange,
  parseDecimal,
  parseWhole,
  percent,
  roundedLux,
  roundedShare,
  share,
} from '../../src/state/numbers';

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

test('what rounds to nothing has no sign', () => {
  for (const write of [share, percent, lux]) expect(write(-0)).not.toMatch(/[-−]/);
  expect(share(-0.00001)).not.toMatch(/[-−]/);
  expect(decimals(-0.01, 1)).not.toMatch(/[-−]/);
  expect(decimals(-0.5, 1)).toMatch(/[-−]/);
});

test('a change of light is rounded as the level is', () => {
  expect(luxChange(149, 171, 10)).toBe('+20 lx');
  expect(luxChange(171, 149, 10)).toBe('−20 lx');
  expect(luxChange(2, 2.52, 0.1)).toBe('+0.5 lx');
  // The level shown stays, but the reader still learns which way it went.
  expect(luxChange(149, 152, 10)).toBe('less than 10 lx more');
  expect(luxChange(12.3, 12.1, 1)).toBe('less than 1 lx less');
  // Until the range is known, by two figures of the level.
  expect(luxChange(100, 120.3, null)).toBe('+20 lx');
  expect(luxChange(1000, 1034, null)).toBe('less than 100 lx more');
  expect(luxChange(4.1, 0, null)).toBe('−4.10 lx');
});

test('the parts of a level are as exact as it is', () => {
  expect(partLux(132.4, 149.4, 10)).toBe('130');
  expect(partLux(17, 149.4, 10)).toBe('20');
  // Small ones keep a digit.
  expect(partLux(3, 149.4, 10)).toBe('3');
  expect(partLux(153, 17900, 1000)).toBe('200');
  expect(partLux(0, 149.4, 10)).toBe('0');
  expect(partLux(132.4, 149.4, null)).toBe('130');
  expect(partLux(0.42, 4.46, 0.1)).toBe('0.4');
  expect(partLux(0.002, 0.004, 0.001)).toBe('< 0.01');
});

test('rounded parts may not add up to the rounded level', () => {
  expect(addsUp([91, 34, 42], 167, 10)).toBe(false); // 170 = 90 + 30 + 40
  expect(addsUp([132.2, 0, 17.2], 149.4, 10)).toBe(true);
  expect(addsUp([132.2, 0, 17.2], 149.4, null)).toBe(true);
  // A small part keeps a digit, and then says more than the level does.
  expect(addsUp([146.4, 0, 3], 149.4, 10)).toBe(false);
  expect(addsUp([0.31, 0.11, 0.04], 0.46, 0.01)).toBe(true);
  // In the dark, and with parts too small to be shown.
  expect(addsUp([0.004, 0, 0.003], 0.007, null)).toBe(true);
  expect(addsUp([2.0, 0.004, 1], 3.004, 0.1)).toBe(true);
  expect(addsUp([0.015, 0, 0.008], 0.023, 0.001)).toBe(true);
  expect(addsUp([0.0154, 0.0114, 0], 0.0268, 0.001)).toBe(false); // 0.027 = 0.015 + 0.011
});

test('a share is as exact as it is known', () => {
  expect(roundedShare(0.213, 0.01)).toBe('21%');
  expect(roundedShare(0.213, 0.1)).toBe('20%');
  expect(roundedShare(0.0456, 0.001)).toBe('4.6%');
  expect(roundedShare(0.00456, 0.0001)).toBe('0.46%');
  expect(roundedShare(0.213, null)).toBe('21%');
});

test('what is counted has no fraction', () => {
  expect([
    parseWhole('12'),
    parseWhole('1200 px', 'px'),
    parseWhole('1.5'),
    parseWhole('1,5'),
    parseWhole('two'),
  ]).toEqual([12, 1200, null, null, null]);
});

const range = (p05: number, p95: number, [figure_step, p05_step, p95_step]: [number, number, number]): FigureRange => ({
  median: 0,
  p05,
  p95,
  step: Math.max(figure_step, p05_step, p95_step),
  figure_step,
  p05_step,
  p95_step,
});

test('each end of a range and the figure keep a digit, however dark the glass', () => {
  // With the steps that the module gives: see `FigureRange` in crate/viewing.
  const purple = range(0.9, 22, [1, 0.1, 1]);
  expect(luxRange(purple)).toBe('0.9 to 22 lx');
  expect(roundedLux(4.46, purple.figure_step)).toBe('4');
  expect(luxRange(range(0.06, 52, [1, 0.01, 10]))).toBe('0.06 to 50 lx');
  expect(luxRange(range(0.0004, 3, [0.1, 0.0001, 0.1]))).toBe('< 0.01 to 3.0 lx');
});

test('most ranges are rounded to one step', () => {
  expect(luxRange(range(101.4, 194.4, [10, 10, 10]))).toBe('100 to 190 lx');
  expect(roundedLux(149, 10)).toBe('150');
  expect(roundedLux(0.46, 0.1)).toBe('0.5');
  // Until the range is known, two figures.
  expect(roundedLux(149, null)).toBe('150');
  expect(roundedLux(4.46, null)).toBe('4.5');
  expect(roundedLux(0.003, 0.001)).toBe('< 0.01');
});
