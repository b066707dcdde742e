// When something happened, in everyday words.
import { dateFormat } from './date-format';

/** "14:32", "yesterday 14:32", "25 November, 14:32". */
export function since(then: Date, now: Date = new Date()): string {
  const clock = dateFormat({ timeStyle: 'short' }, { timeZone: null }).format(then);
  // By the calendar: a day on which the clocks change has more or fewer hours.
  const day = (date: Date): number => Date.UTC(date.getFullYear(), date.getMonth(), date.getDate()) / 86_400_000;
  const days = day(now) - day(then);
  if (days === 0) return clock;
  if (days === 1) return `yesterday ${clock}`;
  return `${dateFormat({ day: 'numeric', month: 'long' }, { timeZone: null }).format(then)}, ${clock}`;
}
