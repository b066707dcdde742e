// Writes dates for a field and reads what a person types, in the order and with the month names of their language.
// Dates are `YYYY-MM-DD` in the Gregorian calendar.
import { plain, withOurDigits } from './typed';

/** The first and the last date that the page goes to. */
export const FIRST_DATE = '1800-01-01';
export const LAST_DATE = '2200-12-31';
/** Fewest letters that may abbreviate a month. */
const LEAST_LETTERS = 3;

export const isWithin = (date: string): boolean => date >= FIRST_DATE && date <= LAST_DATE;

type Field = 'year' | 'month' | 'day';

const formatter = (options: Intl.DateTimeFormatOptions, locale?: string): Intl.DateTimeFormat =>
  new Intl.DateTimeFormat(locale, { ...options, calendar: 'gregory', timeZone: 'UTC' });

/** `25 Nov 2026`, `Nov 25, 2026`, `25. Nov. 2026`. */
export const writeDate = (date: string, locale?: string): string =>
  formatter({ day: 'numeric', month: 'short', year: 'numeric' }, locale).format(Date.parse(`${date}T00:00:00Z`));

/** The order of the numbers of a date in the language. */
function orderOf(locale?: string): Field[] {
  const parts = formatter({ day: 'numeric', month: 'numeric', year: 'numeric' }, locale).formatToParts(0);
  return parts.map(({ type }) => type).filter((type): type is Field => ['year', 'month', 'day'].includes(type));
}

/**
 * The month whose name begins with `word`, 1–12, in the reader's language or in English; null if none or several do.
 */
function monthNamed(word: string, locale?: string): number | null {
  const found = new Set<number>();
  for (const language of [locale, 'en']) {
    for (const style of ['long', 'short'] as const) {
      // Some languages inflect the name beside a day.
      for (const options of [{ month: style }, { month: style, day: 'numeric' }] as const) {
        for (let month = 1; month <= 12; month += 1) {
          const parts = formatter(options, language).formatToParts(Date.UTC(2000, month - 1, 1));
          const name = plain(parts.find(({ type }) => type === 'month')?.value ?? '').replace(/\.$/, '');
          if (name === word) return month;
          if (word.length >= LEAST_LETTERS && name.startsWith(word)) found.add(month);
        }
      }
    }
  }
  const [month] = found;
  return found.size === 1 && month !== undefined ? month : null;
}

function dateOf(year: number, month: number, day: number): string | null {
  const date = new Date(Date.UTC(year, month - 1, day));
  // 31 June would become 1 July, and the year 50 would become 1950.
  if (date.getUTCFullYear() !== year || date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day) return null;
  const written = date.toISOString().slice(0, 10);
  return isWithin(written) ? written : null;
}

/** A two-digit year is in the century of `thisYear`. */
const wholeYear = (digits: string, thisYear: number): number =>
  digits.length <= 2 ? Math.floor(thisYear / 100) * 100 + Number(digits) : Number(digits);

/**
 * Reads `25 Nov 2026`, `25.11.2026`, `11/25/26`, `2026-11-25`; without a year, the date is in `thisYear`. Null for
 * anything else, for days not in the calendar, and before 1800 or after 2200.
 */
export function parseDate(typed: string, thisYear: number, locale?: string): string | null {
  const tokens = plain(withOurDigits(typed, locale)).match(/\d+|\p{L}+/gu) ?? [];
  const numbers = tokens.filter((token) => /^\d/.test(token));
  // "25 de novembro": words shorter than a month's abbreviation are ignored.
  const words = tokens.filter((token) => !/^\d/.test(token) && token.length >= LEAST_LETTERS);
  if (words.length > 1 || numbers.some((digits) => digits.length > 4 || digits.length === 3)) return null;
  const [word] = words;
  if (word !== undefined) {
    const month = monthNamed(word, locale);
    if (month === null || numbers.length < 1 || numbers.length > 2) return null;
    const yearFirst = (numbers[0]?.length ?? 0) > 2;
    const [day = '', year] = yearFirst ? [numbers[1], numbers[0]] : numbers;
    if (day === '' || day.length > 2) return null;
    return dateOf(year === undefined ? thisYear : wholeYear(year, thisYear), month, Number(day));
  }
  if (numbers.length < 2 || numbers.length > 3) return null;
  let order = orderOf(locale);
  if (numbers.length === 2) order = order.filter((field) => field !== 'year');
  else if ((numbers[0]?.length ?? 0) > 2) order = ['year', 'month', 'day'];
  const given = (field: Field): string => numbers[order.indexOf(field)] ?? '';
  const year = numbers.length === 2 ? thisYear : wholeYear(given('year'), thisYear);
  if (given('month').length > 2 || given('day').length > 2) return null;
  return dateOf(year, Number(given('month')), Number(given('day')));
}
