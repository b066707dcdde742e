import { expect, test, vi } from 'vitest';
import type { Surroundings, Wall } from '../../src/engine/contract';

vi.mock('../../src/state/preferences.svelte', () => ({ preferences: { system: 'metric' } }));

const { aroundWords, farWords, leadLines, outsideLines, wallLines } = await import('../../src/state/around-words');

const block = { distance_m: 20, from_m: -30, to_m: 12.5, height_m: 7.5, depth_m: 10 };
const around = (horizon: Surroundings['horizon'], ...walls: Wall[]): Surroundings =>
  ({
    horizon,
    assumed_own_height_m: 5,
    windows: walls.map((wall, i) => ({ id: `w${i + 1}`, wall })),
  }) as unknown as Surroundings;

test('buildings come with their measures, and with what was assumed of them', () => {
  expect(outsideLines(around({ own_building: {}, blocks: [block], floor_above_ground_m: -0.4 }))).toEqual([
    'Own wall: 5 m high, assumed from the room: one storey',
    'House or wall: 20 m away, 7.5 m high, from 30 m left to 12.5 m right',
    'The room’s floor lies 0.4 m below the ground',
  ]);
  expect(outsideLines(around({ own_building: { height_m: 9 } }))).toEqual(['Own wall: 9 m high']);
  expect(outsideLines(around({ blocks: Array.from({ length: 9 }, () => block) })).at(-1)).toBe('And 1 more');
  expect(outsideLines(around({ blocks: Array.from({ length: 8 }, () => block) }))).toHaveLength(8);
  expect(outsideLines(around({}))).toEqual([]);
});

test('skyline and trees are named by their highest point', () => {
  const skyline = [
    { bearing_deg: 0, altitude_deg: 1.4 },
    { bearing_deg: 90, altitude_deg: 3 },
  ];
  const trees = [
    { from_bearing_deg: 0, to_bearing_deg: 9, altitude_deg: 12.5, transmittance_in_leaf: 0.1, transmittance_bare: 0.5 },
  ];
  expect(farWords({ skyline })).toBe('skyline up to 3° high');
  expect(farWords({ skyline, trees })).toBe('skyline up to 3° high, trees up to 12.5° high');
  expect(farWords({ trees })).toBe('trees up to 12.5° high');
  expect(farWords({ skyline: [] })).toBe(null);
  expect(outsideLines(around({ skyline }))).toEqual(['Skyline up to 3° high']);
});

test('a wall comes with depths, splays, overhang and bars, leads with their depth', () => {
  const wall: Wall = {
    outer: { depth_m: 0.9, splay_deg: { jamb: 30, head: 0, sill: 12.5 } },
    inner: { depth_m: 0.125 },
    overhang: { depth_m: 1, above_m: 0.3, width_m: 2 },
    guards: [{ kind: 'mesh', wire_mm: 1.6, pitch_mm: 13 }],
    leaf_mm: 1,
  };
  expect(wallLines(around({}, wall))).toEqual([
    '900 mm deep outside, jambs splayed 30°, sill sloped 12.5°; 125 mm deep inside, square; an overhang of 1000 mm, ' +
      '2000 mm wide, 300 mm above the opening; mesh of 1.6 mm, 13 mm middle to middle',
  ]);
  expect(leadLines(around({}, wall))).toEqual(['Leaves stand out 1 mm from the glass']);
  expect([wallLines(around({}, { leaf_mm: 1 })), leadLines(around({}, {}))]).toEqual([[], []]);
  // Of several windows, each that has a wall is named.
  expect(wallLines(around({}, {}, { inner: { depth_m: 0.2 } }))).toEqual(['w2: 200 mm deep inside, square']);
});

test('one line says that there is something around, and nothing where there is not', () => {
  expect(aroundWords(around({}, {}))).toBe(null);
  // Flat walls with leads of some depth, and a skyline: neither is a building nor a wall.
  expect(aroundWords(around({ skyline: [{ bearing_deg: 0, altitude_deg: 2 }] }, { leaf_mm: 1 }))).toBe(null);
  expect(aroundWords(around({ own_building: {}, blocks: [block] }, { outer: { depth_m: 0.9 } }))).toBe(
    'Own building, 1 house or wall opposite, wall 900 mm deep',
  );
  expect(
    aroundWords(
      around(
        { blocks: [block, block] },
        { outer: { depth_m: 0.9 }, inner: { depth_m: 0.2 }, guards: [{ kind: 'mesh', wire_mm: 1, pitch_mm: 9 }] },
        {},
      ),
    ),
  ).toBe('2 houses or walls opposite, walls up to 1100 mm deep, bars or mesh');
});
