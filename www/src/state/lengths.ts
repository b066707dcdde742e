// Writes and reads lengths and areas, metric or in feet and inches. The scene itself is always metric: millimetres in
// the plane of the window, metres in the room.
//
// An inch is 25.4 mm exactly (international yard and pound agreement, 1959). That windows are measured to a sixteenth,
// rooms to half an inch and sheets of glass in thousandths is common practice, no source.

import { groupSign, parseDecimal, ungrouped } from './numbers';

export type System = 'metric' | 'feet';

/** The kind of length sets the precision:
 * `panel` mm, or inches to the sixteenth; `measure`, as one types it, mm to a tenth or inches to the sixteenth; `thickness` mm to a tenth, or inches to a thousandth;
 * `gap`, between lines and across leads, mm to a tenth, or inches to the sixty-fourth, as on a ruler;
 * `room` metres to the centimetre, or feet and inches to the half.
 */
export type Kind = 'panel' | 'measure' | 'thickness' | 'gap' | 'room';

export const MM_PER_INCH = 25.4;
const INCHES_PER_FOOT = 12;
const MM2_PER_INCH2 = MM_PER_INCH ** 2;
/** Parts of an inch on a fine ruler, and on a coarse one. */
const GAP_PARTS = 64;
const RULER_PARTS = 16;
/** Regions that measure in feet and inches. */
const FEET_REGIONS = new Set(['US', 'LR', 'MM']);

/** From the region of the first of the reader's languages that names one. */
export function systemOf(languages: readonly string[]): System {
  for (const language of languages) {
    try {
      const { region } = new Intl.Locale(language);
      if (region !== undefined) return FEET_REGIONS.has(region) ? 'feet' : 'metric';
    } catch {
      // Not a language tag: ignored.
    }
  }
  return 'metric';
}

const minus = (text: string): string => text.replace('-', '−');

const number = (value: number, least: number, most: number): string =>
  minus(
    new Intl.NumberFormat(undefined, {
      numberingSystem: 'latn',
      minimumFractionDigits: least,
      maximumFractionDigits: most,
      useGrouping: false,
    }).format(value),
  );

/** `66 1/2`: whole and a fraction in lowest terms, to the nearest `parts`-th. */
function mixed(value: number, parts: number): string {
  const count = Math.round(Math.abs(value) * parts);
  const whole = Math.floor(count / parts);
  let [over, under] = [count % parts, parts];
  while (over > 0 && over % 2 === 0) [over, under] = [over / 2, under / 2];
  const sign = value < 0 && count > 0 ? '−' : '';
  if (over === 0) return `${sign}${whole}`;
  return `${sign}${whole === 0 ? '' : `${whole} `}${over}/${under}`;
}

/** `5 ft 6 1/2 in`, to the nearest half inch. */
function feetAndInches(inches: number): string {
  const halves = Math.round(Math.abs(inches) * 2);
  const feet = Math.floor(halves / 2 / INCHES_PER_FOOT);
  const rest = halves / 2 - feet * INCHES_PER_FOOT;
  const sign = inches < 0 && halves > 0 ? '−' : '';
  if (feet === 0) return `${sign}${mixed(rest, 2)} in`;
  return rest === 0 ? `${sign}${feet} ft` : `${sign}${feet} ft ${mixed(rest, 2)} in`;
}

/** A length without its unit, as in a field; feet and inches include theirs. `value` is in the scene's unit. */
export function shown(value: number, kind: Kind, system: System): string {
  if (kind === 'room') {
    return system === 'metric' ? number(value, 0, 2) : feetAndInches((value * 1000) / MM_PER_INCH);
  }
  if (kind === 'thickness') return system === 'metric' ? number(value, 1, 2) : number(value / MM_PER_INCH, 3, 3);
  if (kind === 'gap' && system === 'feet') return mixed(value / MM_PER_INCH, GAP_PARTS);
  const decimals = kind === 'measure' || kind === 'gap' || value < 10 ? 1 : 0;
  return system === 'metric' ? number(value, 0, decimals) : mixed(value / MM_PER_INCH, 16);
}

/** The unit beside `shown`; empty if `shown` includes it. */
export function unitOf(kind: Kind, system: System): string {
  if (system === 'feet') return kind === 'room' ? '' : 'in';
  return kind === 'room' ? 'm' : 'mm';
}

/** A length with its unit. */
export function length(value: number, kind: Kind, system: System): string {
  const unit = unitOf(kind, system);
  return unit === '' ? shown(value, kind, system) : `${shown(value, kind, system)} ${unit}`;
}

/** Width and height of something in the window's plane, mm, with one unit for both. */
export function size(widthMm: number, heightMm: number, system: System): string {
  const unit = unitOf('panel', system);
  return `${shown(widthMm, 'panel', system)} × ${shown(heightMm, 'panel', system)} ${unit}`;
}

/** A number as the modules write it, such as `2.4` or `20 000`. */
const NUMBER = String.raw`\d{1,3}(?:[ \u00A0\u202F]\d{3})+(?![\d.])|\d+(?:\.\d+)?`;
/** One length or two with one unit, such as `3 mm` or `10 to 20 000 mm`. */
const LENGTHS = new RegExp(`(?<![\\d.])(?:(${NUMBER})( to | by | and | or | × |–))?(${NUMBER})\\s?mm\\b`, 'g');

/** A sentence with its lengths in inches, to the parts of one that a ruler has. */
export const inInches = (words: string): string =>
  words.replace(LENGTHS, (_, first: string | undefined, between: string, last: string) =>
    first === undefined ? gap(mmOf(last)) : `${gap(mmOf(first))}${between}${gap(mmOf(last))}`,
  );

const mmOf = (written: string): number => Number(written.replace(/[ \u00A0\u202F]/g, ''));

/** A length in the plane of the window, given in mm, in inches: a short one finer. */
function gap(mm: number): string {
  if (mm > 0 && mm * GAP_PARTS * 2 < MM_PER_INCH) return `less than 1/${GAP_PARTS} in`;
  return length(mm, mm < MM_PER_INCH ? 'gap' : 'panel', 'feet');
}

/**
 * A limit without its unit, rounded inward so that it can be typed as it is written: the least (`up`) or the most of a
 * length.
 */
export function limit(value: number, kind: Kind, system: System, up: boolean): string {
  if ((kind !== 'gap' && kind !== 'measure') || system === 'metric') return shown(value, kind, system);
  const grain = MM_PER_INCH / (kind === 'gap' && value < MM_PER_INCH / RULER_PARTS ? GAP_PARTS : RULER_PARTS);
  return shown((up ? Math.ceil : Math.floor)(value / grain) * grain, kind, system);
}

/** An area given in mm²: in cm², or m² from one square metre; in square inches, or square feet from ten. */
export function area(mm2: number, system: System): string {
  if (system === 'metric') {
    return mm2 >= 1e6 ? `${number(mm2 / 1e6, 2, 2)} m²` : `${number(mm2 / 100, 0, mm2 < 1000 ? 1 : 0)} cm²`;
  }
  const inches2 = mm2 / MM2_PER_INCH2;
  return inches2 >= 1440
    ? `${number(inches2 / 144, 1, 1)} sq ft`
    : `${number(inches2, 0, inches2 < 100 ? 1 : 0)} sq in`;
}

/** The step of the keys, in the scene's unit; what is shown changes by a round amount. */
export function stepOf(kind: Kind, system: System): number {
  if (system === 'metric') return { panel: 1, measure: 1, thickness: 0.1, gap: 0.1, room: 0.05 }[kind];
  return {
    panel: MM_PER_INCH / 16,
    measure: MM_PER_INCH / 16,
    thickness: MM_PER_INCH / 200,
    gap: MM_PER_INCH / GAP_PARTS,
    room: MM_PER_INCH / 1000,
  }[kind];
}

// ---- Typed ------------------------------------------------------------------------------------------------------

const MM_PER: Record<string, number> = {
  mm: 1,
  cm: 10,
  m: 1000,
  in: MM_PER_INCH,
  ft: MM_PER_INCH * INCHES_PER_FOOT,
};

/** Signs and words of each unit as people type them, longer ones first. */
const WORDS: readonly (readonly [RegExp, string])[] = [
  [/''|["″”“]|inches|inch|in\.?/giu, ' in '],
  [/['′’‘]|feet|foot|ft\.?/giu, ' ft '],
  [/millimet(?:re|er)s?|mm/giu, ' mm '],
  [/centimet(?:re|er)s?|cm/giu, ' cm '],
  [/met(?:re|er)s?|(?<=[\d\s.,])m(?![\p{L}])/giu, ' m '],
];

const FRACTIONS: Record<string, string> = {
  '½': '1/2',
  '¼': '1/4',
  '¾': '3/4',
  '⅛': '1/8',
  '⅜': '3/8',
  '⅝': '5/8',
  '⅞': '7/8',
  '⅓': '1/3',
  '⅔': '2/3',
};

/** `3`, `3.1`, `1/8`, `2 1/8`, `2-1/8`. */
function amount(text: string, grouping: string): number | null {
  const fraction = /^(?:(\d+)(?:\s+|\s*-\s*))?(\d+)\s*\/\s*(\d+)$/.exec(text);
  // The sign of the whole length has been taken off.
  if (fraction === null) return /^[+-]/.test(text) ? null : parseDecimal(text, '', grouping);
  const [, whole = '0', over = '', under = ''] = fraction;
  return Number(under) === 0 ? null : Number(whole) + Number(over) / Number(under);
}

/**
 * A typed length, in the scene's unit for its kind (mm, or m for `room`), or null. A number without a unit is in the
 * unit that the field shows: mm or inches, metres or feet. After feet, it is in inches.
 */
export function parseLength(typed: string, kind: Kind, system: System, grouping = groupSign()): number | null {
  // Before an apostrophe is taken for feet.
  let text = ungrouped(typed.replace(/[\u2212\u2013]/g, '-').replace(/\u2044/g, '/'), grouping);
  text = text.replace(/[½¼¾⅛⅜⅝⅞⅓⅔]/g, (sign) => ` ${FRACTIONS[sign] ?? ''}`).trim();
  const negative = text.startsWith('-');
  if (negative) text = text.slice(1).trim();
  for (const [pattern, unit] of WORDS) text = text.replace(pattern, unit);
  text = text.trim().replace(/\s+/g, ' ');
  if (text === '') return null;

  const bare = system === 'metric' ? (kind === 'room' ? 'm' : 'mm') : kind === 'room' ? 'ft' : 'in';
  let mm = 0;
  let last = Infinity;
  const pieces = text.split(/\s(mm|cm|m|in|ft)(?:\s|$)/);
  for (let i = 0; i < pieces.length; i += 2) {
    // Builders write 5'-6": the dash is no minus sign.
    const figures = (pieces[i] ?? '').trim().replace(i > 0 ? /^-\s*/ : /^(?!)/, '');
    const unit = pieces[i + 1] ?? (last === MM_PER['ft'] ? 'in' : bare);
    if (figures === '' && i > 0 && i === pieces.length - 1) break;
    const value = amount(figures, grouping);
    const each = MM_PER[unit] ?? NaN;
    // Units go from large to small, each once: `6 in 5 ft` is refused.
    if (value === null || each >= last) return null;
    mm += value * each;
    last = each;
  }
  if (negative) mm = -mm;
  return kind === 'room' ? mm / 1000 : mm;
}
