// Writes dates for a field and reads what a person types, also with the month names of their own language. Dates are
// `YYYY-MM-DD` in the Gregorian calendar.
import { yearOf } from './civil';
import { dateFormat, ownFormat } from './date-format';
import { plain, withOurDigits, type Read } from './typed';

/** The first and the last date that the page goes to. */
export const FIRST_DATE = '1800-01-01';
export const LAST_DATE = '2200-12-31';
/** Fewest letters that may abbreviate a month. */
const LEAST_LETTERS = 3;

export const isWithin = (date: string): boolean => date >= FIRST_DATE && date <= LAST_DATE;

type Field = 'year' | 'month' | 'day';

/** A day as it was typed, whether or not the calendar has it. */
type TypedDay = Record<Field, number>;

const LONG = { day: 'numeric', month: 'long', year: 'numeric' } as const;

/** `25 Nov 2026`, `Nov 25, 2026`. */
export const writeDate = (date: string, locale?: string): string =>
  dateFormat({ ...LONG, month: 'short' }, { locale }).format(Date.parse(`${date}T00:00:00Z`));

const writeLong = (date: string, locale?: string): string =>
  dateFormat(LONG, { locale }).format(Date.parse(`${date}T00:00:00Z`));

/** A day of an existing month in words, even if that month has no such day. */
function dayInWords({ year, month, day }: TypedDay, locale?: string): string {
  const parts = dateFormat(LONG, { locale }).formatToParts(Date.UTC(year, month - 1, 1));
  return parts.map(({ type, value }) => (type === 'day' ? String(day) : value)).join('');
}

/** The order of the numbers of a date as the page writes it. */
function orderOf(locale?: string): Field[] {
  const parts = dateFormat({ ...LONG, month: 'numeric' }, { locale }).formatToParts(0);
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
          const parts = ownFormat(options, language).formatToParts(Date.UTC(2000, month - 1, 1));
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

function dateOf({ year, month, day }: TypedDay): string | null {
  const date = new Date(Date.UTC(year, month - 1, day));
  // 31 June would become 1 July, and the year 50 would become 1950.
  if (date.getUTCFullYear() !== year || date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day) return null;
  const written = date.toISOString().slice(0, 10);
  return isWithin(written) ? written : null;
}

/** A two-digit year is in the century of `thisYear`. */
const wholeYear = (digits: string, thisYear: number): number =>
  digits.length <= 2 ? Math.floor(thisYear / 100) * 100 + Number(digits) : Number(digits);

/** The numbers of a typed date; null for anything else. */
function typedDay(typed: string, thisYear: number, locale?: string): TypedDay | null {
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
    return { year: year === undefined ? thisYear : wholeYear(year, thisYear), month, day: Number(day) };
  }
  if (numbers.length < 2 || numbers.length > 3) return null;
  let order = orderOf(locale);
  if (numbers.length === 2) order = order.filter((field) => field !== 'year');
  else if ((numbers[0]?.length ?? 0) > 2) order = ['year', 'month', 'day'];
  const given = (field: Field): string => numbers[order.indexOf(field)] ?? '';
  const year = numbers.length === 2 ? thisYear : wholeYear(given('year'), thisYear);
  if (given('month').length > 2 || given('day').length > 2) return null;
  return { year, month: Number(given('month')), day: Number(given('day')) };
}

/**
 * Reads `25 Nov 2026`, `25.11.2026`, `11/25/26`, `2026-11-25`; without a year, the date is in `thisYear`. Null for
 * anything else, for days not in the calendar, and before 1800 or after 2200.
 */
export function parseDate(typed: string, thisYear: number, locale?: string): string | null {
  const day = typedDay(typed, thisYear, locale);
  return day === null ? null : dateOf(day);
}

/** What is wrong with a day beyond the end of its month, in a sentence; null if nothing of the kind is. */
function beyondMonth(day: TypedDay | null, locale?: string): string | null {
  if (day === null || day.month < 1 || day.month > 12) return null;
  const last = new Date(Date.UTC(day.year, day.month, 0)).getUTCDate();
  if (day.day <= last || dateOf({ ...day, day: last }) === null) return null;
  return `${dayInWords(day, locale)} does not exist: the last day of that month is ${dayInWords({ ...day, day: last }, locale)}.`;
}

const UNCHANGED = 'The date has not changed.';

/** Checks a date against the range of the page, which only a scene outside it may leave. `from`: the date now. */
export function checkDate(date: string, from: string, locale?: string): Read<string> {
  return isWithin(date) || !isWithin(from) ? { value: date } : expected(writeLong(date, locale), from, locale);
}

function expected(found: string, from: string, locale?: string): Read<string> {
  const [first, last] = [yearOf(FIRST_DATE), yearOf(LAST_DATE)];
  return {
    wrong: `Expected a date from ${first} to ${last}, such as ${writeLong(from, locale)}; found “${found}”. ${UNCHANGED}`,
  };
}

/** Reads a date typed into a field that shows `from`, with the reason if it is refused. */
export function readDate(typed: string, from: string, locale?: string): Read<string> {
  const day = typedDay(typed, yearOf(from), locale);
  const date = day === null ? null : dateOf(day);
  if (date !== null) return { value: date };
  const beyond = beyondMonth(day, locale);
  return beyond === null ? expected(typed, from, locale) : { wrong: `${beyond} ${UNCHANGED}` };
}
