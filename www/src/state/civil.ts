// Civil time at the site as the scene file writes it, `YYYY-MM-DDTHH:MM`, and its words in the reader's language.
// Fields are never passed through the browser's own zone: they are dressed as UTC and formatted as UTC.

export const MINUTES_OF_DAY = 1440;

export interface Civil {
  /** `YYYY-MM-DD` */
  date: string;
  /** Of the civil day, 0–1439. */
  minute: number;
}

export function parseCivil(at: string): Civil {
  const [date = '', time = '00:00'] = at.split('T');
  return { date, minute: minuteOf(time) };
}

/** `HH:MM` as a minute of the day. */
export function minuteOf(time: string): number {
  const [hours = 0, minutes = 0] = time.split(':').map(Number);
  return clampMinute(hours * 60 + minutes);
}

export function clampMinute(minute: number): number {
  return Math.min(MINUTES_OF_DAY - 1, Math.max(0, Math.round(minute)));
}

export function writeCivil({ date, minute }: Civil): string {
  const two = (n: number) => String(n).padStart(2, '0');
  return `${date}T${two(Math.floor(minute / 60))}:${two(minute % 60)}`;
}

function asUtc({ date, minute }: Civil): Date {
  return new Date(Date.parse(`${date}T00:00:00Z`) + minute * 60_000);
}

export function addDays(date: string, days: number): string {
  const moved = new Date(Date.parse(`${date}T00:00:00Z`) + days * 86_400_000);
  return moved.toISOString().slice(0, 10);
}

const format = (options: Intl.DateTimeFormatOptions) =>
  new Intl.DateTimeFormat(undefined, { ...options, timeZone: 'UTC' });

const TIME = format({ timeStyle: 'short' });
const HOUR = format({ hour: 'numeric' });
const DAY_AND_MONTH = format({ day: 'numeric', month: 'long' });
const WHOLE_DATE = format({ day: 'numeric', month: 'long', year: 'numeric' });

export const timeWords = (civil: Civil): string => TIME.format(asUtc(civil));

/** A full hour, 0–24, for a scale: `03`, or `3 AM` where the locale counts so. */
export function hourWords(hour: number): string {
  const parts = HOUR.formatToParts(asUtc({ date: '2000-01-01', minute: (hour % 24) * 60 }));
  const part = (type: string): string | undefined => parts.find((p) => p.type === type)?.value;
  const half = part('dayPeriod');
  return half === undefined ? String(hour).padStart(2, '0') : `${part('hour') ?? hour} ${half}`;
}

export const dayWords = (date: string): string => DAY_AND_MONTH.format(asUtc({ date, minute: 0 }));
export const dateWords = (date: string): string => WHOLE_DATE.format(asUtc({ date, minute: 0 }));

/** `2026-09-22T16:45:00Z` as time and, where it is another day than `localDate`, date. */
export function utcWords(utc: string, localDate: string): string {
  const instant = new Date(utc);
  if (Number.isNaN(instant.getTime())) return utc;
  const iso = instant.toISOString();
  const civil = { date: iso.slice(0, 10), minute: minuteOf(iso.slice(11, 16)) };
  const time = timeWords(civil);
  return civil.date === localDate ? `${time} UTC` : `${time} UTC on ${dayWords(civil.date)}`;
}
