// How dates and times are written: in English, as all the page's words are, in the order and on the clock that the
// reader's language uses. Nothing else formats them.
//
// Fields also read what people type in their own language.

/** The language of the reader's browser. */
const readersLocale = (): string => new Intl.DateTimeFormat().resolvedOptions().locale;

/** The reader's own English, with its order of day and month; British English, day first, for any other language. */
function englishOf(locale: string): string {
  return /^en(?:-|$)/i.test(locale) ? locale : 'en-GB';
}

/**
 * Formats dates and times in English. `locale`: the reader's. The calendar is the Gregorian one. `timeZone`: null
 * for the browser's own; civil times at the site are written and read as UTC.
 */
export function dateFormat(
  options: Intl.DateTimeFormatOptions,
  { locale = readersLocale(), timeZone = 'UTC' }: { locale?: string | undefined; timeZone?: string | null } = {},
): Intl.DateTimeFormat {
  const english = englishOf(locale);
  // Whoever reads a twelve-hour clock in another language reads it here too.
  const { hour12 } = new Intl.DateTimeFormat(locale, { hour: 'numeric' }).resolvedOptions();
  const clock = english === locale ? {} : ({ hourCycle: hour12 === true ? 'h12' : 'h23' } as const);
  return new Intl.DateTimeFormat(english, {
    ...options,
    ...(options.timeStyle === undefined && options.hour === undefined ? {} : clock),
    calendar: 'gregory',
    numberingSystem: 'latn',
    ...(timeZone === null ? {} : { timeZone }),
  });
}

/** The reader's own way of writing, by which typed names of months and halves of the day are known. */
export const ownFormat = (options: Intl.DateTimeFormatOptions, locale?: string): Intl.DateTimeFormat =>
  new Intl.DateTimeFormat(locale, { ...options, calendar: 'gregory', timeZone: 'UTC' });
