// The rows of the reading are rounded by what is known of them, each by its own range.
import { expect, test, vi } from 'vitest';
import type { FigureRange, Ranges, Report } from '../../src/engine/contract';
import { changeText, levelText, lightRows, moreRows } from '../../src/state/reading-rows';

vi.mock('../../src/state/units', () => ({ lengthM: String }));

const light = { total_lx: 149.4, sky_ground_lx: 132.2, sun_lx: 0, room_lx: 17.2 };
const report = {
  viewing: {
    vertical: light,
    horizontal: { total_lx: 62.7 },
    share_of_clear: 0.2134,
    cast: { cct_k: null, duv: null, dominant_nm: null, shift_from_clear: null },
    looks: { white_cloth: null },
    ra: null,
    glare: { dgp: 0.5, words: 'intolerable', sun_share: 0.4 },
  },
  outside: { vertical_on_glass_lx: 9000, global_horizontal_lx: 12000 },
  walls: [],
  leads: [],
} as unknown as Report;

const known = (figure_step: number): FigureRange => ({ figure_step }) as FigureRange;
const ranges = {
  everything: { vertical_lx: known(10), horizontal_lx: known(1), share_of_clear: known(0.1) },
  dgp: { p05: 0.42, p95: 0.613 },
} as unknown as Ranges;

const texts = (known: Ranges | null): string[] => lightRows(report, known).map(({ text }) => text);

test('level, parts and share go by their ranges', () => {
  expect(levelText(report, ranges)).toBe('150');
  expect(texts(ranges)).toEqual(['20%', '130', '0', '20', '63']);
  expect(changeText({ from: 128, to: 149.4 }, ranges)).toBe('+20 lx');
});

test('where the parts shown do not add up to the level shown, the last says so', () => {
  const notes = (sky_ground_lx: number) => {
    const vertical = { ...light, sky_ground_lx };
    return lightRows({ ...report, viewing: { ...report.viewing, vertical } } as Report, ranges).map(({ note }) => note);
  };
  expect(notes(132.2)).toEqual([undefined, undefined, undefined, undefined, undefined]);
  expect(notes(122)).toEqual([undefined, undefined, undefined, expect.stringMatching(/need not add up/), undefined]);
});

test('until the ranges are known, by two figures of the level', () => {
  expect(levelText(report, null)).toBe('150');
  expect(texts(null)).toEqual(['21%', '130', '0', '20', '63']);
});

test('the sun in the eyes comes with its share in sight', () => {
  const rows = moreRows(report, ranges);
  expect(rows.find(({ name }) => name.startsWith('Of the sun’s disc'))?.text).toBe('40%');
});

test('without the sun in the eyes there is no share, whatever its sign', () => {
  for (const sun_share of [0, -0]) {
    const glare = { ...report.viewing.glare, sun_share };
    const rows = moreRows({ ...report, viewing: { ...report.viewing, glare } }, ranges);
    expect(rows.map(({ name, text }) => `${name} ${text}`).join()).not.toMatch(/disc|[-−]0/);
  }
});

test('the light outside is named by what it does not count', () => {
  const outside = (walls: { window: string; overcast_taken: number }[]) =>
    moreRows({ ...report, walls } as Report, ranges)
      .map(({ name }) => name)
      .filter((name) => name.startsWith('Outside'));
  expect(outside([])).toEqual(['Outside, on the glass', 'Outside, on open ground']);
  expect(outside([{ window: 'west', overcast_taken: 0.4 }])).toEqual([
    'Outside, before the wall',
    'Outside, on open ground',
  ]);
});

test('glare comes with its range and what it was found with', () => {
  const glare = (ranges: Ranges | null) => moreRows(report, ranges).find(({ name }) => name.startsWith('Glare'));
  expect(glare(ranges)).toMatchObject({
    text: 'DGP 0.50, intolerable',
    note: expect.stringMatching(/^0\.42 to 0\.61 in nine cases of ten\. The study .* offices/),
  });
  expect(glare(null)?.note).toMatch(/^The study/);
});
