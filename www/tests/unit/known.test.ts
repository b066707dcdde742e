import { expect, test, vi } from 'vitest';
import type { Ranges } from '../../src/engine/contract';

vi.mock('../../src/state/preferences.svelte', () => ({ preferences: { system: 'metric' } }));

const { glassWords, rangeWords, shareRange } = await import('../../src/state/known');

test('a range as a share of the figure has one number where its ends are about as far', () => {
  // 1000 lx on the page, unrounded 954.
  expect(shareRange({ p05: 947, p95: 961 }, 954)).toBe('± 0.7%');
  expect(shareRange({ p05: 92, p95: 108.3 }, 100)).toBe('± 8.3%');
  expect(shareRange({ p05: 78, p95: 122 }, 100)).toBe('± 22%');
  expect(shareRange({ p05: 100, p95: 100 }, 100)).toBe('± 0%');
});

test('a skewed one has both, each with its sign', () => {
  expect(shareRange({ p05: 95, p95: 108 }, 100)).toBe('−5% to +8%');
  expect(shareRange({ p05: 0.9, p95: 37 }, 4.46)).toBe('−80% to +730%');
  // The figure is not the median, and may even lie outside.
  expect(shareRange({ p05: 102, p95: 108 }, 100)).toBe('+2% to +8%');
  expect(shareRange({ p05: 90, p95: 99.99999 }, 100)).toBe('−10% to 0%');
});

test('the light in front is the plane’s where there is one', () => {
  const range = (p05: number, p95: number) => ({
    median: 0,
    p05,
    p95,
    step: 1,
    figure_step: 1,
    p05_step: 1,
    p95_step: 1,
  });
  const ranges = {
    everything: { vertical_lx: range(100, 190) },
    glass_alone: { vertical_lx: range(1, 2), working_plane_lx: range(90, 110) },
  } as unknown as Ranges;
  expect(rangeWords(ranges)).toBe('100 to 190 lx in nine cases of ten');
  expect(glassWords(ranges, 100)).toBe('± 10%');
  expect(glassWords(ranges, 0)).toBe(null);
});
