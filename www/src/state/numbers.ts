// Numbers as the reader's language writes them, and as a reader types them.

const plain = (options: Intl.NumberFormatOptions) => new Intl.NumberFormat(undefined, options);

const WHOLE = plain({ maximumFractionDigits: 0 });
const ONE = plain({ minimumFractionDigits: 1, maximumFractionDigits: 1 });
const THREE_FIGURES = plain({ maximumSignificantDigits: 3 });
const TWO_FIGURES = plain({ maximumSignificantDigits: 2 });
const SHARE = plain({ style: 'percent', maximumFractionDigits: 0 });
const SMALL_SHARE = plain({ style: 'percent', maximumFractionDigits: 1 });
const SIGNED_FINE = plain({ minimumFractionDigits: 4, maximumFractionDigits: 4, signDisplay: 'exceptZero' });
const FINE = plain({ minimumFractionDigits: 4, maximumFractionDigits: 4 });

/** A light level: whole lux from ten up, three figures from a thousand up. */
export function lux(value: number): string {
  const size = Math.abs(value);
  if (size >= 1000) return THREE_FIGURES.format(value);
  if (size >= 9.95) return WHOLE.format(value);
  if (size >= 0.95) return ONE.format(value);
  // Starlight through glass: that it is dark is all that is worth saying.
  if (size > 0 && size < 0.01) return `< ${TWO_FIGURES.format(0.01)}`;
  return TWO_FIGURES.format(value);
}

/** An uncertainty: two figures, no more. */
export const plusMinus = (value: number): string => TWO_FIGURES.format(value);
const withMinus = (text: string): string => text.replace('-', '−');

/** A share 0–1 in per cent. */
export const share = (value: number): string => (value >= 0.0995 ? SHARE : SMALL_SHARE).format(value);
/** The same in a field, to a tenth of a per cent. */
export const percent = (value: number): string => SMALL_SHARE.format(value);

/** A sentence of the module, its percentages as the reader's language writes them. */
export function localised(text: string): string {
  return text.replace(/(\d+(?:\.\d+)?) %/g, (_, number: string) => SMALL_SHARE.format(Number(number) / 100));
}

export const kelvin = (value: number): string => THREE_FIGURES.format(value);
export const whole = (value: number): string => WHOLE.format(value);
export const duv = (value: number): string => withMinus(SIGNED_FINE.format(value));
export const chromaticity = (value: number): string => FINE.format(value);
export const figures = (value: number): string => THREE_FIGURES.format(value);

export function decimals(value: number, digits: number): string {
  return plain({ minimumFractionDigits: digits, maximumFractionDigits: digits, useGrouping: false }).format(value);
}

/** A number as typed, with a decimal comma or point and perhaps its unit; null where it is not a number. */
export function parseDecimal(typed: string, unit = ''): number | null {
  let text = typed.trim().replace(/\u2212/g, '-');
  if (unit !== '' && text.toLowerCase().endsWith(unit.toLowerCase())) text = text.slice(0, -unit.length).trim();
  if (!/^[+-]?(\d+([.,]\d*)?|[.,]\d+)$/.test(text)) return null;
  return Number(text.replace(',', '.'));
}
