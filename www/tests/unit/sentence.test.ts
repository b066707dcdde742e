import { expect, test } from 'vitest';
import { capital, localised } from '../../src/state/sentence';

test('percentages and decimals are written as the reader does, whole numbers stay', () => {
  const decimal = new Intl.NumberFormat(undefined).format(1.5);
  expect(localised('haze: turbidity 1.5 outside 1–10')).toBe(`haze: turbidity ${decimal} outside 1–10`);
  expect(localised('CIE standard sky 12, 95 % of 2026')).toBe(
    `CIE standard sky 12, ${new Intl.NumberFormat(undefined, { style: 'percent' }).format(0.95)} of 2026`,
  );
});

test('what may be off is spaced in one way, whoever says it', () => {
  const percent = new Intl.NumberFormat(undefined, { style: 'percent' }).format(0.23);
  expect(localised('its level is uncertain by ±23 %')).toBe(`its level is uncertain by ± ${percent}`);
  expect(localised('± 23 %')).toBe(`± ${percent}`);
  expect(localised('± 0.14 to 0.35 mm')).toMatch(/^± 0.14 to 0.35 mm$/);
});

test('a sentence begins with a capital letter', () => {
  expect(capital('a lead ends in the open')).toBe('A lead ends in the open');
  expect(capital('')).toBe('');
});
