// The measurements of an opening: what is asked of the module, and what is said about its faults.
import { expect, test } from 'vitest';
import type { OpeningFault } from '../../src/engine/contract';
import { measurementsOf, usualForm, type OpeningForm } from '../../src/state/opening-form';
import { fieldOf, wordsOf } from '../../src/state/opening-words';

const asked = (change: Partial<OpeningForm>) => measurementsOf({ ...usualForm('metric'), ...change });

test('only what the shape has is asked for', () => {
  expect(asked({ shape: 'round', widthMm: 800 }).opening).toEqual({ shape: 'round', diameter_mm: 800 });
  const size = { width_mm: 600, height_mm: 1500 };
  expect(asked({ shape: 'round_headed' }).opening).toEqual({ shape: 'round_headed', ...size });
  expect(asked({ shape: 'pointed' }).opening).toEqual({ shape: 'pointed', ...size, rise_mm: null });
  expect(asked({ shape: 'segmental', segmentRiseMm: 90 }).opening).toEqual({
    shape: 'segmental',
    ...size,
    rise_mm: 90,
  });
});

test('panes go by number or by size, border and bars only if wanted', () => {
  expect(asked({ pattern: 'panes', columns: 4 }).filling).toEqual({ pattern: 'rectangles', columns: 4, rows: 6 });
  expect(asked({ pattern: 'panes', panesBy: 'size', paneWidthMm: 90 }).filling).toEqual({
    pattern: 'rectangles_by_size',
    pane_width_mm: 90,
    pane_height_mm: 200,
  });
  expect(asked({ hasBorder: false, hasBars: false })).toMatchObject({ border: null, bars: null });
  expect(asked({ hasBorder: true, borderMm: 50 }).border).toEqual({ width_mm: 50, piece_mm: 150 });
});

test('feet and inches begin with round inches near the metric sizes', () => {
  const [metric, inches] = [usualForm('metric'), usualForm('feet')];
  for (const [name, value] of Object.entries(metric)) {
    const other = inches[name as keyof OpeningForm];
    if (typeof value !== 'number') expect(other).toBe(value);
    else expect(Math.abs(Number(other) / value - 1)).toBeLessThan(0.07);
  }
  expect(inches.widthMm / 25.4).toBeCloseTo(24, 9);
});

const length = (least_mm: number, most_mm: number, why = ''): OpeningFault => ({
  kind: 'length',
  field: 'opening.rise_mm',
  least_mm,
  most_mm,
  why,
  found_mm: 1,
});

test('a range is written so that its ends can be typed', () => {
  expect(wordsOf(length(519.4, 999.9, ' (so far)'), 'Rise', 'metric')).toBe('Rise: expected 520 to 999 mm (so far).');
  // 301 mm is 11 27/32 in, and 19 999 mm is 787 23/64 in.
  expect(wordsOf(length(301, 19_999), 'Rise', 'feet')).toBe('Rise: expected 11 7/8 to 787 5/16 in.');
});

test('where nothing is possible, that is said', () => {
  expect(wordsOf(length(55, 17), 'Width', 'metric')).toMatch(/^Width: none is possible here/);
});

test('faults of the whole filling stand at the filling', () => {
  const little: OpeningFault = { kind: 'little_glass', what: 'field', least_mm: 14, found_mm: 6 };
  expect(fieldOf(little)).toBe('filling');
  expect(wordsOf(little, 'Panes', 'metric')).toMatch(/^The field: 6 mm across .* at least 14 mm/);
  const many: OpeningFault = { kind: 'too_many_pieces', field: 'border.piece_mm', limit: 5000, found: 12_345.6 };
  expect(fieldOf(many)).toBe('border.piece_mm');
  expect(wordsOf(many, 'Its pieces', 'metric')).toBe(
    'Expected at most 5,000 pieces, found about 12,346. Make them larger.',
  );
});
