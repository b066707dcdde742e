// Bearings, and latitude and longitude as people type them.
import { expect, test } from 'vitest';
import {
  bearingOf,
  onCircle,
  parseBearing,
  parseCoordinate,
  pointWords,
  turn,
  wrapped,
} from '../../src/state/bearings';

test('coordinates are accepted as decimals and as degrees, minutes, seconds', () => {
  for (const [typed, expected] of [
    ['52.135', 52.135],
    ['52,135', 52.135],
    ['52,135 N', 52.135],
    ['N 52.135°', 52.135],
    ['33.9 S', -33.9],
    ['-33,9', -33.9],
    ['−33.9', -33.9],
    ['33° 54′ S', -33.9],
    ['33 54 s', -33.9],
    ['52°8\'6"N', 52.135],
    ['52° 08′ 06″ N', 52.135],
    ['52:08:06', 52.135],
    ['52 8,1', 52.135],
    ['0', 0],
  ] as const) {
    expect(parseCoordinate(typed, 'latitude'), typed).toBeCloseTo(expected, 9);
  }
  expect(parseCoordinate('18° 25′ 12″ E', 'longitude')).toBeCloseTo(18.42, 9);
  expect(parseCoordinate('3,2 W', 'longitude')).toBeCloseTo(-3.2, 9);
});

test('invalid coordinates are refused', () => {
  for (const typed of [
    '',
    'north',
    '52.1 E',
    '-33 S',
    'N 33 S',
    '52 61',
    '52 8 60',
    '52,5 8',
    '1,2,3',
    '52°°',
    '5e1',
  ]) {
    expect(parseCoordinate(typed, 'latitude'), typed).toBeNull();
  }
});

test('bearings run clockwise from north', () => {
  for (const bearing of [0, 1, 89, 90, 180, 271, 359]) {
    const [x, y] = onCircle(bearing, 50);
    expect(turn(bearing, bearingOf(x, y))).toBeCloseTo(0, 9);
  }
  expect(onCircle(90, 1)[0]).toBeCloseTo(1, 9);
  expect([wrapped(-1), wrapped(360), turn(350, 10), turn(10, 350)]).toEqual([359, 0, 20, -20]);
  expect([0, 44, 225, 326.2, 326.3, 337.5, 348.7, 348.8, 360].map(pointWords)).toEqual([
    'north',
    'north-east',
    'south-west',
    'north-west',
    'north-north-west',
    'north-north-west',
    'north-north-west',
    'north',
    'north',
  ]);
});

test('bearings are accepted in degrees and as points of the compass', () => {
  for (const [typed, expected] of [
    ['225', 225],
    ['22,5°', 22.5],
    ['-90', 270],
    ['\u221290', 270],
    ['370', 10],
    ['360', 0],
    ['NW', 315],
    ['nnw', 337.5],
    ['South', 180],
    ['north-west', 315],
    ['south south-east', 157.5],
  ] as const) {
    expect(parseBearing(typed), typed).toBe(expected);
  }
  for (const typed of ['', 'NX', 'up', 'NS', '1e9', '12 N', 'northern']) expect(parseBearing(typed), typed).toBeNull();
});
