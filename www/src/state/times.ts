// Writes times of the day for a field and reads what a person types. A time is a minute of the civil day, 0–1439.
import { MINUTES_OF_DAY } from './civil';
import { dateFormat, ownFormat } from './date-format';
import { plain, withOurDigits, type Read } from './typed';

const formatter = (locale?: string): Intl.DateTimeFormat => dateFormat({ timeStyle: 'short' }, { locale });
const own = (locale?: string): Intl.DateTimeFormat => ownFormat({ timeStyle: 'short' }, locale);

/** `15:00`, `3:00 PM`. */
export const writeTime = (minute: number, locale?: string): string => formatter(locale).format(minute * 60_000);

const letters = (text: string): string => plain(text).replace(/[^\p{L}]/gu, '');

/** The half of the day that the language calls `word` at this hour of a twelve-hour clock: 0 or 12; null if none. */
function halfOfDay(word: string, hour: number, locale?: string): number | null {
  if (word === 'a' || word === 'am') return 0;
  if (word === 'p' || word === 'pm') return 12;
  for (const half of [0, 12]) {
    const parts = own(locale).formatToParts((half + (hour % 12)) * 3_600_000);
    const name = letters(parts.find(({ type }) => type === 'dayPeriod')?.value ?? '');
    if (name === word) return half;
  }
  return null;
}

/**
 * Reads `15:00`, `15.00`, `15h00`, `1500`, `15`, `3 pm`, `3:30 p.m.`, and the time as the language writes it. Null for
 * anything else, and for times that no day has.
 */
export function parseTime(typed: string, locale?: string): number | null {
  const text = plain(withOurDigits(typed, locale)).trim();
  const numbers = text.match(/\d+/g) ?? [];
  const [first = '', second] = numbers;
  // "1500" and "930": the last two digits are minutes.
  const joined = numbers.length === 1 && (first.length === 3 || first.length === 4);
  const [hours, minutes] = joined ? [first.slice(0, -2), first.slice(-2)] : [first, second ?? '00'];
  if (numbers.length < 1 || numbers.length > 2 || hours.length > 2 || minutes.length !== 2) return null;
  // A sign before the time, or one that never stands between hours and minutes.
  if (/[-−+]/.test(text) || !/^[^\d]*\d+(?:\s*[:.,h\s]\s*\d+)?[^\d]*$/.test(text)) return null;
  const word = letters(text);
  let hour = Number(hours);
  if (word !== '' && word !== 'h') {
    const half = halfOfDay(word, hour, locale);
    // The language's own words for "o'clock", as in its way of writing this time, say nothing.
    if (half === null && word !== letters(own(locale).format(hour * 3_600_000))) return null;
    if (half !== null) {
      if (hour < 1 || hour > 12) return null;
      hour = (hour % 12) + half;
    }
  }
  const minute = hour * 60 + Number(minutes);
  return hour > 23 || Number(minutes) > 59 || minute >= MINUTES_OF_DAY ? null : minute;
}

/** The same for a field, with the reason if it is refused. */
export function readTime(typed: string): Read<number> {
  const minute = parseTime(typed);
  if (minute !== null) return { value: minute };
  const [first, last, example] = [0, MINUTES_OF_DAY - 1, 15 * 60].map((at) => writeTime(at));
  return {
    wrong: `Expected a time from ${first} to ${last}, such as ${example} or 3 pm; found “${typed}”. The hour has not changed.`,
  };
}
