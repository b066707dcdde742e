// A compass seen from above, as paths: the horizon at the rim, of radius `RIM`, and the zenith in the middle.
import type { Horizon, SunPoint } from '../engine/contract';
import { onCircle, turn, wrapped } from './bearings';

export const RIM = 100;
const SKYLINE_STEP_DEG = 3;

type Point = readonly [number, number];

/** A direction; its distance from the middle is linear in altitude. */
export const directionAt = (bearing: number, altitude: number): [number, number] =>
  onCircle(bearing, (RIM * (90 - Math.max(0, altitude))) / 90);

export const written = ([x, y]: Point): string => `${x.toFixed(2)} ${y.toFixed(2)}`;

const writtenAt = (bearing: number, altitude: number): string => written(directionAt(bearing, altitude));

/** The sun's path above the horizon, in front of a wall that faces so and behind it. */
export function sunArcs(points: readonly SunPoint[], facing: number): { before: string; behind: string } {
  const ways = { before: '', behind: '' };
  for (let i = 1; i < points.length; i += 1) {
    const [a, b] = [points[i - 1], points[i]];
    if (a === undefined || b === undefined || a.altitude_deg < 0 || b.altitude_deg < 0) continue;
    const seen = Math.abs(turn(facing, b.azimuth_deg)) < 90;
    ways[seen ? 'before' : 'behind'] +=
      `M${writtenAt(a.azimuth_deg, a.altitude_deg)}L${writtenAt(b.azimuth_deg, b.altitude_deg)}`;
  }
  return ways;
}

/** The skyline all round; empty without one. */
export function skylinePath(points: NonNullable<Horizon['skyline']>): string {
  const [first, last] = [points[0], points.at(-1)];
  if (first === undefined || last === undefined) return '';
  const round = [
    { ...last, bearing_deg: last.bearing_deg - 360 },
    ...points,
    { ...first, bearing_deg: first.bearing_deg + 360 },
  ];
  let d = '';
  for (let bearing = 0; bearing < 360; bearing += SKYLINE_STEP_DEG) {
    const next = round.findIndex((point) => point.bearing_deg > bearing);
    const [a, b] = [round[next - 1], round[next]];
    if (a === undefined || b === undefined) continue;
    const share = (bearing - a.bearing_deg) / (b.bearing_deg - a.bearing_deg || 1);
    d += `${d === '' ? 'M' : 'L'}${writtenAt(bearing, a.altitude_deg + share * (b.altitude_deg - a.altitude_deg))}`;
  }
  return `${d}Z`;
}

/** The tops of rows of trees. */
export function treePaths(rows: NonNullable<Horizon['trees']>): string[] {
  return rows.map((row) => {
    const span = wrapped(row.to_bearing_deg - row.from_bearing_deg) || 360;
    const steps = Math.max(1, Math.ceil(span / SKYLINE_STEP_DEG));
    return Array.from({ length: steps + 1 }, (_, i) => {
      const bearing = row.from_bearing_deg + (span * i) / steps;
      return `${i === 0 ? 'M' : 'L'}${writtenAt(bearing, row.altitude_deg)}`;
    }).join('');
  });
}
