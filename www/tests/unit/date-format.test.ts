// Dates and times in the page's sentences, which are English.
import { expect, test } from 'vitest';
import { dateFormat } from '../../src/state/date-format';

const noon = Date.UTC(2026, 10, 25, 15);
const written = (options: Intl.DateTimeFormatOptions, locale: string): string =>
  dateFormat(options, { locale }).format(noon);

test('dates are English, month first in the United States and day first elsewhere', () => {
  const whole = { day: 'numeric', month: 'long', year: 'numeric' } as const;
  expect(written(whole, 'en-US')).toBe('November 25, 2026');
  for (const locale of ['en-GB', 'en-AU', 'fr-FR', 'de-DE', 'ja-JP', 'th-TH', 'ar-EG', 'fa-IR']) {
    expect(written(whole, locale), locale).toBe('25 November 2026');
  }
});

test('times keep the clock of the reader’s language', () => {
  expect(written({ timeStyle: 'short' }, 'fr-FR')).toBe('15:00');
  expect(written({ timeStyle: 'short' }, 'bg-BG')).toBe('15:00');
  expect(written({ timeStyle: 'short' }, 'ko-KR')).toMatch(/^0?3:00\spm$/);
  expect(written({ timeStyle: 'short' }, 'en-US')).toMatch(/^3:00\sPM$/);
});
