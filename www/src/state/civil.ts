// Civil time at the site as the scene file writes it, `YYYY-MM-DDTHH:MM`, and its words.
// Fields never pass through the browser's own time zone: they are treated and formatted as UTC.
import { dateFormat } from './date-format';

export const MINUTES_OF_DAY = 1440;

export interface Civil {
  /** `YYYY-MM-DD` */
  date: string;
  /** Minute of the civil day, 0–1439. */
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

export const yearOf = (date: string): number => Number(date.slice(0, date.indexOf('-', 1)));

/** 1 is 1 January. */
export function dayOfYear(date: string): number {
  return Math.round((Date.parse(`${date}T00:00:00Z`) - startOf(yearOf(date))) / 86_400_000) + 1;
}

export function dateOfDay(year: number, day: number): string {
  return new Date(startOf(year) + (day - 1) * 86_400_000).toISOString().slice(0, 10);
}

/** The day of the year on which each month begins, followed by that on which the next year does. */
export function monthStarts(year: number): number[] {
  return Array.from({ length: 13 }, (_, month) => (Date.UTC(year, month, 1) - startOf(year)) / 86_400_000 + 1);
}

/** The same day of another month, or the last day of that month. */
export function addMonths(date: string, months: number): string {
  const [year = 0, month = 1, day = 1] = date.split('-').map(Number);
  const last = new Date(Date.UTC(year, month + months, 0)).getUTCDate();
  return new Date(Date.UTC(year, month - 1 + months, Math.min(day, last))).toISOString().slice(0, 10);
}

const startOf = (year: number): number => Date.parse(`${String(year).padStart(4, '0')}-01-01T00:00:00Z`);

const TIME = dateFormat({ timeStyle: 'short' });
const HOUR = dateFormat({ hour: 'numeric' });
const DAY_AND_MONTH = dateFormat({ day: 'numeric', month: 'long' });
const MONTH = dateFormat({ month: 'short' });
const MONTH_LETTER = dateFormat({ month: 'narrow' });
const WHOLE_DATE = dateFormat({ day: 'numeric', month: 'long', year: 'numeric' });

export const timeWords = (civil: Civil): string => TIME.format(asUtc(civil));

/** The figure of a full hour, 0–24, and the half of the day in locales that tell it. */
function hourParts(hour: number): readonly [string, string | undefined] {
  const parts = HOUR.formatToParts(asUtc({ date: '2000-01-01', minute: (hour % 24) * 60 }));
  const part = (type: string): string | undefined => parts.find((p) => p.type === type)?.value;
  const half = part('dayPeriod');
  return [half === undefined ? String(hour).padStart(2, '0') : (part('hour') ?? String(hour)), half];
}

/** A full hour, 0–24, for a scale: `03`, or `3 AM` in locales that use it. */
export function hourWords(hour: number): string {
  const [figure, half] = hourParts(hour);
  return half === undefined ? figure : `${figure} ${half}`;
}

/** The same for a narrow scale: `03`, or `3`. */
export const hourFigure = (hour: number): string => hourParts(hour)[0];

/** 1–12, short, and as a letter. */
export const monthWords = (month: number): string => MONTH.format(Date.UTC(2000, month - 1, 1));
export const monthLetter = (month: number): string => MONTH_LETTER.format(Date.UTC(2000, month - 1, 1));

export const dayWords = (date: string): string => DAY_AND_MONTH.format(asUtc({ date, minute: 0 }));
export const dateWords = (date: string): string => WHOLE_DATE.format(asUtc({ date, minute: 0 }));

/** `2026-09-22T16:45:00Z` as a time, with the date if it differs from `localDate`. */
export function utcWords(utc: string, localDate: string): string {
  const instant = new Date(utc);
  if (Number.isNaN(instant.getTime())) return utc;
  const iso = instant.toISOString();
  const civil = { date: iso.slice(0, 10), minute: minuteOf(iso.slice(11, 16)) };
  const time = timeWords(civil);
  return civil.date === localDate ? `${time} UTC` : `${time} UTC on ${dayWords(civil.date)}`;
}
