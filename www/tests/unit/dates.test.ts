// Dates as they are written and typed.
import { expect, test } from 'vitest';
import { checkDate, parseDate, readDate, writeDate } from '../../src/state/dates';

test('a date is written in English, in the order of the reader’s English or day first', () => {
  expect(writeDate('2026-11-25', 'en-GB')).toBe('25 Nov 2026');
  expect(writeDate('2026-11-25', 'en-US')).toBe('Nov 25, 2026');
  for (const locale of ['de-DE', 'fr-FR', 'ja-JP', 'ar-EG', 'hu-HU']) {
    expect(writeDate('2026-11-25', locale), locale).toBe('25 Nov 2026');
  }
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

test('a day that its month does not have is refused by name, with the last day of the month', () => {
  for (const [locale, typed, missing, last] of [
    ['en-GB', '30 February', '30 February 2027', '28 February 2027'],
    ['en-GB', '30/2/2028', '30 February 2028', '29 February 2028'],
    ['en-US', 'Feb 30', 'February 30, 2027', 'February 28, 2027'],
    ['de-DE', '31.6.', '31 June 2027', '30 June 2027'],
    ['fr-FR', '31 juin 2026', '31 June 2026', '30 June 2026'],
    ['en-GB', '2027-04-31', '31 April 2027', '30 April 2027'],
    ['en-GB', '99 Dec', '99 December 2027', '31 December 2027'],
  ] as const) {
    expect(readDate(typed, '2027-11-25', locale), typed).toEqual({
      wrong: `${missing} does not exist: the last day of that month is ${last}. The date has not changed.`,
    });
  }
  // Whatever else is no date is told what one looks like.
  for (const typed of ['soon', '13/13/2026', '0 May', '31 June 1700', '']) {
    expect(readDate(typed, '2027-11-25', 'en-GB'), typed).toEqual({
      wrong: `Expected a date from 1800 to 2200, such as 25 November 2027; found “${typed}”. The date has not changed.`,
    });
  }
  expect(readDate('28 Feb', '2027-11-25', 'en-GB')).toEqual({ value: '2027-02-28' });
});

test('only a scene beyond the page’s years can be stepped there', () => {
  expect(checkDate('2200-12-31', '2200-12-30', 'en-GB')).toEqual({ value: '2200-12-31' });
  expect(checkDate('2201-01-01', '2200-12-31', 'en-GB')).toEqual({
    wrong:
      'Expected a date from 1800 to 2200, such as 31 December 2200; found “1 January 2201”. The date has not changed.',
  });
  expect(checkDate('2350-01-02', '2350-01-01', 'en-GB')).toEqual({ value: '2350-01-02' });
});
