import { expect, test } from 'vitest';
import type { SunPoint } from '../../src/engine/contract';
import { directionAt, RIM, skylinePath, sunArcs, treePaths, written } from '../../src/state/compass';

const sun = (azimuth_deg: number, altitude_deg: number): SunPoint => ({ minute: 0, azimuth_deg, altitude_deg });
const ends = (path: string): number[][] =>
  path
    .split(/[MLZ]/)
    .filter(Boolean)
    .map((end) => end.split(' ').map(Number));

test('the horizon is the rim, the zenith the middle, north is up', () => {
  expect(written(directionAt(0, 0))).toBe(`0.00 ${(-RIM).toFixed(2)}`);
  expect(Math.hypot(...directionAt(123, 90))).toBeCloseTo(0, 9);
  expect(Math.hypot(...directionAt(123, 45))).toBeCloseTo(RIM / 2, 9);
  // What is below the horizon stands on it.
  expect(directionAt(90, -20)).toEqual(directionAt(90, 0));
});

test('the sun’s path is cut at the horizon and by the wall', () => {
  const day = [sun(80, -5), sun(90, 5), sun(135, 30), sun(225, 30), sun(270, 5), sun(280, -5)];
  const { before, behind } = sunArcs(day, 225);
  // Facing south-west: three stretches are above the horizon, of which the one that ends in the south-east is not seen.
  expect(before.match(/M/g)).toHaveLength(2);
  expect(behind.match(/M/g)).toHaveLength(1);
});

test('a skyline goes all round between its points, a row of trees from end to end', () => {
  expect(skylinePath([])).toBe('');
  const radii = ends(
    skylinePath([
      { bearing_deg: 90, altitude_deg: 0 },
      { bearing_deg: 270, altitude_deg: 45 },
    ]),
  ).map(([x, y]) => Math.hypot(x ?? 0, y ?? 0));
  expect(radii).toHaveLength(120);
  expect(Math.max(...radii)).toBeCloseTo(RIM, 1);
  expect(Math.min(...radii)).toBeCloseTo(RIM / 2, 1);
  // Across north.
  const [row = ''] = treePaths([{ from_bearing_deg: 350, to_bearing_deg: 10, altitude_deg: 0 }] as never);
  const [first, last] = [ends(row)[0], ends(row).at(-1)];
  expect(first?.[0]).toBeLessThan(0);
  expect(last?.[0]).toBeGreaterThan(0);
  expect(ends(row).every(([, y]) => (y ?? 0) < -0.9 * RIM)).toBe(true);
});
