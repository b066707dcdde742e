// Times of the day as they are written and typed.
import { expect, test } from 'vitest';
import { parseTime, writeTime } from '../../src/state/times';

const LOCALES = [
  'en-GB',
  'en-US',
  'de-DE',
  'fr-FR',
  'fr-CA',
  'fi-FI',
  'bg-BG',
  'ja-JP',
  'ko-KR',
  'zh-TW',
  'hi-IN',
  'ar-EG',
];

test('what a field shows is read back unchanged', () => {
  for (const locale of LOCALES) {
    for (const minute of [0, 7, 59, 60, 359, 545, 719, 720, 775, 900, 1140, 1439]) {
      expect(parseTime(writeTime(minute, locale), locale), `${writeTime(minute, locale)} in ${locale}`).toBe(minute);
    }
  }
});

test('times are accepted as people type them', () => {
  const typed: [string, number][] = [
    ['15:00', 900],
    ['15.00', 900],
    ['15,00', 900],
    ['15 00', 900],
    ['15h00', 900],
    ['15 h', 900],
    ['1500', 900],
    ['15', 900],
    ['3 pm', 900],
    ['3pm', 900],
    ['3 P.M.', 900],
    ['3:05pm', 905],
    ['3.05 p', 905],
    ['930', 570],
    ['9', 540],
    ['09:30', 570],
    [' 9:30 ', 570],
    ['12 am', 0],
    ['12 pm', 720],
    ['0000', 0],
    ['23:59', 1439],
  ];
  for (const locale of ['en-GB', 'en-US', 'de-DE']) {
    for (const [text, minute] of typed) expect(parseTime(text, locale), `${text} in ${locale}`).toBe(minute);
  }
});

test('times that no day has, and anything else, are refused', () => {
  const typed = [
    '',
    'noonish',
    '24:00',
    '25',
    '15:60',
    '15:0',
    '15:000',
    '1:2:3',
    '13 pm',
    '0 am',
    '-3',
    '3/4',
    '3 xm',
    '12345',
    'pm',
  ];
  for (const text of typed) expect(parseTime(text, 'en-GB'), text).toBeNull();
});
