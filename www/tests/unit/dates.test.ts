// Dates as they are written and typed.
import { expect, test } from 'vitest';
import { parseDate, writeDate } from '../../src/state/dates';

test('a date is written in the order of the reader’s language', () => {
  expect(writeDate('2026-11-25', 'en-GB')).toBe('25 Nov 2026');
  expect(writeDate('2026-11-25', 'en-US')).toBe('Nov 25, 2026');
  expect(writeDate('2026-11-25', 'de-DE')).toBe('25. Nov. 2026');
});

test('what a field shows is read back unchanged', () => {
  for (const locale of [
    'en-GB',
    'en-US',
    'de-DE',
    'fr-FR',
    'es-ES',
    'pt-BR',
    'pl-PL',
    'cs-CZ',
    'sv-SE',
    'ja-JP',
    'ar-EG',
  ]) {
    for (const date of ['2026-01-31', '2026-03-01', '2026-05-05', '2026-08-09', '2026-11-25', '2024-02-29']) {
      expect(parseDate(writeDate(date, locale), 1999, locale), `${writeDate(date, locale)} in ${locale}`).toBe(date);
    }
  }
});

test('dates are accepted as people type them', () => {
  const typed: [string, string, string][] = [
    ['en-GB', '25 november 2026', '2026-11-25'],
    ['en-GB', 'Nov 25', '2027-11-25'],
    ['en-GB', '3/4/2026', '2026-04-03'],
    ['en-US', '3/4/2026', '2026-03-04'],
    ['en-US', '3-4-26', '2026-03-04'],
    ['de-DE', '3.4.', '2027-04-03'],
    ['de-DE', '25. März 2026', '2026-03-25'],
    ['de-DE', '25 Mar 2026', '2026-03-25'],
    ['fr-FR', '14 juillet', '2027-07-14'],
    ['sv-SE', '2026-11-25', '2026-11-25'],
    ['en-US', '2026-11-25', '2026-11-25'],
    ['en-US', '2026 nov 25', '2026-11-25'],
  ];
  for (const [locale, text, date] of typed) expect(parseDate(text, 2027, locale), `${text} in ${locale}`).toBe(date);
});

test('invalid dates are refused', () => {
  for (const text of [
    '',
    'tomorrow',
    '25',
    '31 June 2026',
    '29 Feb 2026',
    '0202-06-21',
    '0050-06-21',
    '25 Nov 1799',
    '25 Nov 2201',
    '13/13/2026',
    '1 2 3 4',
    'Ju 5',
    '25 Nov Dec',
    '123/4/2026',
  ]) {
    expect(parseDate(text, 2026, 'en-GB'), text).toBeNull();
  }
});
