// Lengths as they are written and typed.
import { expect, test } from 'vitest';
import {
  area,
  inInches,
  length,
  limit,
  parseLength,
  shown,
  size,
  systemOf,
  type Kind,
  type System,
} from '../../src/state/lengths';

/** The decimal sign is the machine's own here; the page's is tested on the page. */
const point = (text: string): string => text.replace(',', '.');

test('the reader’s region decides, if it is named', () => {
  expect(systemOf(['en-US'])).toBe('feet');
  expect(systemOf(['en-GB', 'en-US'])).toBe('metric');
  expect(systemOf(['en', 'en-US'])).toBe('feet');
  expect(systemOf(['en'])).toBe('metric');
  expect(systemOf(['not a language!', 'de-DE'])).toBe('metric');
  expect(systemOf([])).toBe('metric');
});

test('each kind of length is written in its units', () => {
  const written: [number, Kind, System, string][] = [
    [1240, 'panel', 'metric', '1240 mm'],
    [4.5, 'panel', 'metric', '4.5 mm'],
    [1240, 'panel', 'feet', '48 13/16 in'],
    [25.4, 'panel', 'feet', '1 in'],
    [6.35, 'panel', 'feet', '1/4 in'],
    [0.5, 'panel', 'feet', '0 in'],
    [-12.7, 'panel', 'feet', '−1/2 in'],
    [3.1, 'thickness', 'metric', '3.1 mm'],
    [3.175, 'thickness', 'feet', '0.125 in'],
    [1.55, 'room', 'metric', '1.55 m'],
    [1.6891, 'room', 'feet', '5 ft 6 1/2 in'],
    [3.048, 'room', 'feet', '10 ft'],
    // Rounding up to a foot does not give 12 inches.
    [0.3045, 'room', 'feet', '1 ft'],
    [0.254, 'room', 'feet', '10 in'],
    [-0.9144, 'room', 'feet', '−3 ft'],
  ];
  for (const [value, kind, system, text] of written) expect(point(length(value, kind, system))).toBe(text);
  expect(size(609.6, 1828.8, 'feet')).toBe('24 × 72 in');
  expect(point(area(3800, 'metric'))).toBe('38 cm²');
  expect(point(area(1_250_000, 'metric'))).toBe('1.25 m²');
  expect(point(area(64516, 'feet'))).toBe('100 sq in');
  expect(point(area(929_030.4, 'feet'))).toBe('10.0 sq ft');
});

test('lengths are accepted as people type them', () => {
  const foot = 0.3048;
  const inch = 25.4;
  const typed: [string, Kind, System, number][] = [
    ['3,1', 'thickness', 'metric', 3.1],
    ['3.1', 'thickness', 'metric', 3.1],
    [' 3.1 mm ', 'thickness', 'feet', 3.1],
    ['1/8', 'thickness', 'feet', inch / 8],
    ['1/8 in', 'thickness', 'metric', inch / 8],
    ['⅛″', 'thickness', 'metric', inch / 8],
    ['0.31 cm', 'thickness', 'metric', 3.1],
    ['2 3/16', 'panel', 'feet', 2.1875 * inch],
    ['2-3/16"', 'panel', 'metric', 2.1875 * inch],
    ['2½', 'panel', 'feet', 2.5 * inch],
    ['1.2 m', 'panel', 'metric', 1200],
    ['1,2 m', 'room', 'feet', 1.2],
    ['1 m 20 cm', 'room', 'metric', 1.2],
    ['120cm', 'room', 'metric', 1.2],
    ['5\' 6 1/2"', 'room', 'metric', 66.5 * 0.0254],
    ['5\'-6 1/2"', 'room', 'feet', 66.5 * 0.0254],
    ['5′6″', 'room', 'feet', 66 * 0.0254],
    ['5 ft 6', 'room', 'feet', 66 * 0.0254],
    ["5'6''", 'room', 'feet', 66 * 0.0254],
    ['5 feet', 'room', 'metric', 5 * foot],
    ['10', 'room', 'feet', 10 * foot],
    ['−3 ft', 'room', 'feet', -3 * foot],
    ['−0,4', 'room', 'metric', -0.4],
    ['6 1/2 in', 'room', 'feet', 6.5 * 0.0254],
  ];
  for (const [text, kind, system, value] of typed) {
    const read = parseLength(text, kind, system, ',');
    expect(read, text).not.toBeNull();
    expect(read, text).toBeCloseTo(value, 9);
  }
  for (const wrong of ['', 'thin', '3,1,2', '1/0', '3 lx', '6 in 5 ft', '5 ft 5 ft', '--3', '1e3', '3 1', '1/', 'm']) {
    expect(parseLength(wrong, 'panel', 'metric', ','), wrong).toBeNull();
  }
});

test('a comma groups digits only if it does so in the reader’s language', () => {
  expect(parseLength('1,200', 'panel', 'metric', ',')).toBe(1200);
  expect(parseLength("1'200", 'room', 'metric', '’')).toBe(1200);
  expect(parseLength("5'200", 'room', 'feet', ',')).toBeCloseTo((60 + 200) * 0.0254, 9);
  expect(parseLength('1,200', 'panel', 'metric', '.')).toBe(1.2);
  expect(parseLength('1.200', 'panel', 'metric', '.')).toBe(1200);
  expect(parseLength('1.200', 'panel', 'metric', ',')).toBe(1.2);
  expect(parseLength('0,125', 'thickness', 'feet', ',')).toBeCloseTo(3.175, 9);
});

test('what a field shows is read back unchanged, to the digits shown', () => {
  const kinds: [Kind, number][] = [
    ['panel', 25.4 / 32],
    ['measure', 25.4 / 32],
    ['thickness', 0.0254 / 2],
    ['gap', 25.4 / 128],
    ['room', 0.0254 / 4],
  ];
  for (const [kind, within] of kinds) {
    for (const system of ['metric', 'feet'] as const) {
      for (let i = 0; i < 200; i += 1) {
        const value = i * i * (kind === 'panel' || kind === 'measure' ? 0.137 : 0.00137) + 0.5;
        const read = parseLength(`${shown(value, kind, system)}`, kind, system, '\u0000');
        const slack =
          system === 'feet' ? within : { panel: 0.5, measure: 0.05, thickness: 0.005, gap: 0.05, room: 0.005 }[kind];
        expect(read, `${kind} ${system} ${value}`).not.toBeNull();
        expect(Math.abs((read ?? NaN) - value)).toBeLessThanOrEqual(slack + 1e-9);
      }
    }
  }
});

test('the lengths of a sentence are given in inches', () => {
  const said = inInches('A line stops short 2.4 mm from the next line; 152.4 mm and not 3 mmx.');
  expect(point(said)).toBe('A line stops short 3/32 in from the next line; 6 in and not 3 mmx.');
});

test('lengths with spaces between thousands, and several with one unit, are given in inches', () => {
  const said: [string, string][] = [
    ['a window of at most 20 000 mm either way', 'a window of at most 787 3/8 in either way'],
    ['at most 20\u202F000 mm', 'at most 787 3/8 in'],
    ['10 to 20 000 mm', '25/64 in to 787 3/8 in'],
    ['found 40000 by 254 mm', 'found 1574 13/16 in by 10 in'],
    ['an opening of 609.6 × 1828.8 mm', 'an opening of 24 in × 72 in'],
    ['3 lines, 254 mm long', '3 lines, 10 in long'],
    ['1 200 300 mm', '47255 7/8 in'],
  ];
  for (const [words, inches] of said) expect(inInches(words)).toBe(inches);
});

test('a measure is shown as it was typed, to a tenth of a millimetre', () => {
  expect([12.5, 609.6, 600, 3].map((mm) => shown(mm, 'measure', 'metric'))).toEqual(['12.5', '609.6', '600', '3']);
  expect(shown(609.6, 'measure', 'feet')).toBe('24');
});

test('a gap has no more digits than a ruler', () => {
  expect([0.2, 2.4, 3, 12.7].map((mm) => shown(mm, 'gap', 'feet'))).toEqual(['1/64', '3/32', '1/8', '1/2']);
  expect([0.2, 2.44, 15].map((mm) => shown(mm, 'gap', 'metric')).map(point)).toEqual(['0.2', '2.4', '15']);
  // Limits are rounded inward, so that they can be typed.
  expect([limit(0.2, 'gap', 'feet', true), limit(15, 'gap', 'feet', false)]).toEqual(['1/64', '9/16']);
  expect([limit(0.2, 'gap', 'metric', true), limit(15, 'gap', 'metric', false)].map(point)).toEqual(['0.2', '15']);
  expect(parseLength('9/16', 'gap', 'feet')).toBeLessThanOrEqual(15);
  expect([limit(10, 'measure', 'feet', true), limit(7499, 'measure', 'feet', false)]).toEqual(['7/16', '295 3/16']);
  expect(parseLength('7/16', 'measure', 'feet')).toBeGreaterThanOrEqual(10);
  expect(parseLength('295 3/16', 'measure', 'feet')).toBeLessThanOrEqual(7499);
  expect(inInches('expected at most 15 mm, found 0.1 mm')).toBe('expected at most 19/32 in, found less than 1/64 in');
});
