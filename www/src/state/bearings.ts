// Bearings and coordinates in words and as typed; screen geometry of the compass. Bearings are in degrees, clockwise
// from true north.
import { decimals, parseDecimal } from './numbers';

/** The sixteen points of the compass, clockwise from north. */
const POINTS = [
  'north',
  'north-north-east',
  'north-east',
  'east-north-east',
  'east',
  'east-south-east',
  'south-east',
  'south-south-east',
  'south',
  'south-south-west',
  'south-west',
  'west-south-west',
  'west',
  'west-north-west',
  'north-west',
  'north-north-west',
] as const;

/** 0 ≤ bearing < 360. */
export const wrapped = (bearing: number): number => ((bearing % 360) + 360) % 360;

export const pointWords = (bearing: number): string => POINTS[Math.round(wrapped(bearing) / 22.5) % 16] ?? '';

/** The same by their letters. */
const LETTERED = POINTS.map((words) => words.replace(/(\w)\w+-?/g, '$1').toUpperCase());

/**
 * A bearing as people state it: degrees, also counted anticlockwise or beyond a turn (`-90`, `400°`), or a point of the
 * compass in letters or words (`NW`, `north-west`). Otherwise null.
 */
export function parseBearing(typed: string): number | null {
  const letters = typed
    .trim()
    .toUpperCase()
    .replace(/NORTH|EAST|SOUTH|WEST/g, (word) => word.charAt(0))
    .replace(/[\s-]/g, '');
  const point = LETTERED.indexOf(letters);
  if (point >= 0) return point * 22.5;
  const degrees = parseDecimal(typed.replace(/[\u2212\u2013]/g, '-'), '°');
  return degrees === null || Math.abs(degrees) > 720 ? null : wrapped(degrees);
}

/** On a circle about the origin, y down, north up. */
export function onCircle(bearing: number, radius: number): [number, number] {
  const angle = (bearing * Math.PI) / 180;
  return [radius * Math.sin(angle), -radius * Math.cos(angle)];
}

/** The bearing of a point about the origin, y down. */
export const bearingOf = (x: number, y: number): number => wrapped((Math.atan2(x, -y) * 180) / Math.PI);

/** How far `bearing` lies clockwise of `from`, −180 to 180. */
export const turn = (from: number, bearing: number): number => wrapped(bearing - from + 180) - 180;

export type Axis = 'latitude' | 'longitude';
const LETTERS: Record<Axis, readonly [string, string]> = { latitude: ['N', 'S'], longitude: ['E', 'W'] };

/** `52.1350° N`. */
export function coordinate(degrees: number, axis: Axis): string {
  const [plus, minus] = LETTERS[axis];
  return `${decimals(Math.abs(degrees), 4)}° ${degrees < 0 ? minus : plus}`;
}

/**
 * Degrees, degrees and minutes, or degrees, minutes and seconds, with a decimal comma or point in the last of them and
 * a sign or a letter for the side: `52.135`, `52,135 N`, `52° 8′ 6″ N`, `33 54 S`. Otherwise null.
 */
export function parseCoordinate(typed: string, axis: Axis): number | null {
  let text = typed
    .trim()
    .toUpperCase()
    .replace(/[\u2212\u2013]/g, '-');
  const [plus, minus] = LETTERS[axis];
  const letter = [...text].filter((c) => c === plus || c === minus);
  text = text.replace(new RegExp(`^[${plus}${minus}]\\s*|\\s*[${plus}${minus}]$`), '');
  const signed = /^[+-]/.test(text);
  if (letter.length > 1 || (letter.length === 1 && signed)) return null;
  const negative = text.startsWith('-') || letter[0] === minus;
  text = text.replace(/^[+-]\s*/, '');
  const number = '(\\d+(?:[.,]\\d+)?)';
  const found = new RegExp(
    `^${number}\\s*°?(?:[\\s:]*${number}\\s*['′’]?(?:[\\s:]*${number}\\s*(?:["″”]|''|′′)?)?)?$`,
  ).exec(text);
  if (found === null) return null;
  const parts = found.slice(1).filter((part): part is string => part !== undefined);
  // Only the last may have a fraction.
  if (parts.slice(0, -1).some((part) => /[.,]/.test(part))) return null;
  const [degrees = 0, minutes = 0, seconds = 0] = parts.map((part) => Number(part.replace(',', '.')));
  if (minutes >= 60 || seconds >= 60) return null;
  const value = degrees + minutes / 60 + seconds / 3600;
  return negative ? -value : value;
}
