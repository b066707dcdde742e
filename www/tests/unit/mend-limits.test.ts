// The tolerances that the page repeats are those of the crate that mends lines.
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { LEAST_MM, MOST_MM } from '../../src/state/mend-limits';

const ofCrate = (file: string, name: string): string => {
  const source = readFileSync(new URL(`../../../crate/drawing_io/src/${file}`, import.meta.url), 'utf8');
  return new RegExp(`const ${name}: f64 = (.*);`).exec(source)?.[1] ?? '';
};

test('the tolerances are those of the crate', () => {
  expect(Number(ofCrate('line_faults.rs', 'LEAST_MEND_MM'))).toBe(LEAST_MM);
  expect(ofCrate('line_faults.rs', 'MOST_MEND_MM')).toBe('OVERSHOOT_MM');
  expect(Number(ofCrate('lines.rs', 'OVERSHOOT_MM'))).toBe(MOST_MM);
});
