// Writes numbers in the reader's language, and reads typed ones.
import type { FigureRange } from '../engine/contract';

/**
 * Western digits in every language: fields read what they show, and they read no others. What rounds to nothing has no
 * sign.
 */
const plain = (options: Intl.NumberFormatOptions) =>
  new Intl.NumberFormat(undefined, { numberingSystem: 'latn', signDisplay: 'negative', ...options });

const WHOLE = plain({ maximumFractionDigits: 0 });
const ONE = plain({ minimumFractionDigits: 1, maximumFractionDigits: 1 });
const THREE_FIGURES = plain({ maximumSignificantDigits: 3 });
const TWO_FIGURES = plain({ maximumSignificantDigits: 2 });
const SHARE = plain({ style: 'percent', maximumFractionDigits: 0 });
const SMALL_SHARE = plain({ style: 'percent', maximumFractionDigits: 1 });
const SIGNED_FINE = plain({ minimumFractionDigits: 4, maximumFractionDigits: 4, signDisplay: 'exceptZero' });
const FINE = plain({ minimumFractionDigits: 4, maximumFractionDigits: 4 });

/** A light level: whole lux from 10 lx, three significant figures from 1000 lx. */
export function lux(value: number): string {
  const size = Math.abs(value);
  if (size >= 1000) return THREE_FIGURES.format(value);
  if (size >= 9.95) return WHOLE.format(value);
  if (size >= 0.95) return ONE.format(value);
  // Starlight through glass: all that matters is that it is dark.
  if (size > 0 && size < 0.01) return `< ${TWO_FIGURES.format(0.01)}`;
  return TWO_FIGURES.format(value);
}

/**
 * A light level no more exact than it is known: to multiples of `step`, a power of ten that is its own (`FigureRange`), or
 * to two figures until that is known.
 */
export function roundedLux(value: number, step: number | null): string {
  if (Math.abs(value) < 0.01) return lux(value);
  if (step === null || step <= 0) return TWO_FIGURES.format(value);
  return steps(value, step);
}

/** Both ends of a range of light levels, each as exact as it deserves: "100 to 190 lx". */
export function luxRange({ p05, p95, step, p05_step, p95_step }: FigureRange): string {
  return step > 0 ? `${roundedLux(p05, p05_step)} to ${roundedLux(p95, p95_step)} lx` : `${steps(p05, 0.1)} lx`;
}

/** A figure as a multiple of a power of ten. */
function steps(value: number, step: number): string {
  const digits = Math.max(0, Math.round(-Math.log10(step)));
  return plain({ minimumFractionDigits: digits, maximumFractionDigits: digits }).format(
    Math.round(value / step) * step,
  );
}

/**
 * A part of a light level, no more exact than that is: `step` as there, or two figures of `of`; or less, where that would
 * not keep a significant digit, as `FigureRange` has it.
 */
export function partLux(value: number, of: number, step: number | null): string {
  const rounded = partStep(value, of, step);
  return rounded === 0 ? lux(value) : steps(value, rounded);
}

/** The step to which a part is rounded; 0 in the dark. */
function partStep(value: number, of: number, step: number | null): number {
  const rounded = stepOf(of, step);
  if (Math.abs(value) < 0.01 || rounded === 0) return 0;
  return Math.min(rounded, 10 ** Math.floor(Math.log10(Math.abs(value))));
}

/** Whether parts of a light level, rounded as they are shown, add up to it as it is shown. In the dark they may. */
export function addsUp(parts: readonly number[], of: number, step: number | null): boolean {
  const whole = stepOf(of, step);
  if (whole === 0) return true;
  const by = parts.map((part) => partStep(part, of, step));
  const sum = parts.reduce((all, part, i) => all + roundedTo(part, by[i] ?? 0), 0);
  // What is shown as `< 0.01` may be anything up to that.
  const untold = parts.some((part, i) => by[i] === 0 && part !== 0) ? 0.01 : 0;
  const finest = Math.min(whole, ...by.filter((step) => step > 0));
  return Math.abs(sum - roundedTo(of, whole)) < untold + finest / 2;
}

const roundedTo = (value: number, step: number): number => (step === 0 ? 0 : Math.round(value / step) * step);

/**
 * A change of a light level, rounded as the level is that it ends at: `+20 lx`, `−3 lx`; `less than 10 lx more` where
 * that leaves nothing.
 */
export function luxChange(from: number, to: number, step: number | null): string {
  const change = to - from;
  // In the dark the level says nothing of its own.
  const rounded = stepOf(to, step) || 0.01;
  if (Math.round(change / rounded) === 0) {
    return `less than ${steps(rounded, rounded)} lx ${change > 0 ? 'more' : 'less'}`;
  }
  return `${change > 0 ? '+' : '−'}${steps(Math.abs(change), rounded)} lx`;
}

/** The step to which a light level is rounded: its own, or that of two figures until it is known; 0 in the dark. */
function stepOf(level: number, step: number | null): number {
  if (Math.abs(level) < 0.01) return 0;
  return step !== null && step > 0 ? step : 10 ** (Math.floor(Math.log10(Math.abs(level))) - 1);
}

/** A share no more exact than it is known: to multiples of `step`, a power of ten. */
export function roundedShare(value: number, step: number | null): string {
  if (step === null || step <= 0) return share(value);
  const digits = Math.max(0, Math.round(-Math.log10(step)) - 2);
  return plain({ style: 'percent', minimumFractionDigits: digits, maximumFractionDigits: digits }).format(
    Math.round(value / step) * step,
  );
}

const withMinus = (text: string): string => text.replace('-', '−');

/** A share, 0–1, in per cent. */
export const share = (value: number): string => (value >= 0.0995 ? SHARE : SMALL_SHARE).format(value);
/** The same in a field, to a tenth of a per cent. */
export const percent = (value: number): string => SMALL_SHARE.format(value);
/** The number of per cent that a field shows, to a tenth; null where pieces differ. */
export const inPercent = (value: number | null | undefined): number | null =>
  value == null ? null : Math.round(value * 1000) / 10;

export const kelvin = (value: number): string => THREE_FIGURES.format(value);
export const whole = (value: number): string => WHOLE.format(value);
export const duv = (value: number): string => withMinus(SIGNED_FINE.format(value));
export const chromaticity = (value: number): string => FINE.format(value);
export const figures = (value: number): string => THREE_FIGURES.format(value);

export function decimals(value: number, digits: number): string {
  return plain({ minimumFractionDigits: digits, maximumFractionDigits: digits, useGrouping: false }).format(value);
}

/** What groups digits in the reader's language. */
export const groupSign = (): string =>
  plain({ useGrouping: true })
    .formatToParts(1e6)
    .find((part) => part.type === 'group')?.value ?? ',';

/** Signs that people type for one another. */
const alike = (text: string): string => text.replace(/[\u00a0\u202f]/g, ' ').replace(/’/g, "'");

/** Without the signs that group its digits in threes: `1,200.5` as `1200.5`. */
export function ungrouped(text: string, grouping: string): string {
  const sign = alike(grouping).replace(/[^\d]/g, '\\$&');
  return alike(text).replace(new RegExp(`(?<![\\d.,])[1-9]\\d{0,2}(?:${sign}\\d{3})+(?![\\d${sign}])`, 'g'), (number) =>
    number.replaceAll(alike(grouping), ''),
  );
}

/**
 * A typed number, with a decimal comma or point and optionally its unit; null if it is not a number. `1,200` is twelve
 * hundred if the reader's language groups digits by commas, otherwise one and a fifth.
 */
export function parseDecimal(typed: string, unit = '', grouping = groupSign()): number | null {
  let text = ungrouped(typed.trim().replace(/\u2212/g, '-'), grouping);
  if (unit !== '' && text.toLowerCase().endsWith(unit.toLowerCase())) text = text.slice(0, -unit.length).trim();
  if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(text)) return null;
  return Number(text.replace(',', '.'));
}

/** The same for what is counted; null if there is a fraction. */
export function parseWhole(typed: string, unit = ''): number | null {
  const number = parseDecimal(typed, unit);
  return number !== null && Number.isInteger(number) ? number : null;
}
