import { describe, expect, it } from 'vitest';
import type { Wall, WindowPlace } from '../../src/engine/contract';
import {
  guardLine,
  hasDepth,
  innerDepth,
  overhangSpan,
  seenGlass,
  shownWords,
  statedWall,
  wallCut,
  wallThickness,
} from '../../src/state/wall-plan';

const bounds = (grown: number) => ({
  left_m: 2 - grown,
  right_m: 3 + grown,
  bottom_m: 1 - grown,
  top_m: 3 + grown,
});

const placed = (wall: Wall, outer = 0, inner = 0): WindowPlace => ({
  id: 'west',
  centre_x_m: 2.5,
  sill_height_m: 1,
  width_m: 1,
  height_m: 2,
  wall,
  outer_face: bounds(outer),
  inner_face: bounds(inner),
  overhang_if_added: { depth_m: 0.5, above_m: 0.1, width_m: 1.4 },
});

describe('the cut through a wall', () => {
  it('has the glass between both faces, at its own size', () => {
    const window = placed({ outer: { depth_m: 0.2 }, inner: { depth_m: 0.3 } }, 0, 0.1);
    expect(wallCut(window, 'plan')).toEqual({
      outer: [2, 3],
      glass: [2, 3],
      inner: [1.9, 3.1],
      outerDeep: -0.5,
      glassDeep: -0.3,
    });
    expect(wallCut(window, 'section')).toMatchObject({ outer: [1, 3], inner: [0.9, 3.1] });
    expect(wallThickness([placed({}), window])).toBe(0.5);
  });

  it('is nothing without depth', () => {
    expect(wallCut(placed({}), 'plan')).toMatchObject({ outerDeep: 0, glassDeep: 0 });
    expect(wallThickness([])).toBe(0);
    expect(innerDepth(undefined)).toBe(0);
  });
});

it('an overhang is in the middle over the window, above the opening in the outer face', () => {
  expect(overhangSpan(placed({}))).toBeNull();
  const over = overhangSpan(placed({ overhang: { depth_m: 1, above_m: 0.25, width_m: 2 } }, 0.1));
  expect(over?.across).toEqual([1.5, 3.5]);
  expect(over?.up).toBeCloseTo(3.35, 12);
});

describe('the glass that an eye sees', () => {
  it('is all of it without an inner reveal, and straight before one', () => {
    expect(seenGlass(wallCut(placed({}), 'plan'), 0.5, 3)).toEqual([2, 3]);
    expect(seenGlass(wallCut(placed({ inner: { depth_m: 0.3 } }), 'plan'), 2.5, 3)).toEqual([2, 3]);
  });

  it('ends where the line past the edge of the reveal meets the glass', () => {
    const cut = wallCut(placed({ inner: { depth_m: 1 } }), 'plan');
    // From 2 m before the glass, 1 m left of the opening: past its left edge in the inner face to twice as far right.
    expect(seenGlass(cut, 1.5, 2)).toEqual([2.5, 3]);
    expect(seenGlass(cut, -1, 2)).toBeNull();
    expect(seenGlass(cut, 2.5, 1)).toBeNull();
  });
});

describe('bars and mesh as a line', () => {
  const upright = { kind: 'upright_bars', diameter_mm: 20, pitch_mm: 100 } as const;
  const mesh = { kind: 'mesh', wire_mm: 1.6, pitch_mm: 12 } as const;

  it('are cut across their length and run along it', () => {
    expect(guardLine(upright, 'plan', 100)).toEqual({ width: 2, dashes: [2, 8] });
    expect(guardLine(upright, 'section', 100)).toEqual({ width: 2, dashes: null });
    expect(guardLine({ ...upright, kind: 'level_bars' }, 'section', 100).dashes).toEqual([2, 8]);
    expect(guardLine({ ...upright, kind: 'level_bars' }, 'plan', 100).dashes).toBeNull();
    expect(guardLine(mesh, 'plan', 1000)).toEqual(guardLine(mesh, 'section', 1000));
  });

  it('are still lines and gaps where the scale is too small to draw each', () => {
    expect(guardLine(mesh, 'plan', 30)).toEqual({ width: 1, dashes: [1, 1.5] });
  });
});

it('a wall without parts is none', () => {
  expect(statedWall({})).toBeNull();
  expect(statedWall({ guards: [] })).toBeNull();
  expect(statedWall({ outer: { depth_m: 0.2 }, guards: [] })).toEqual({ outer: { depth_m: 0.2 } });
  const barred: Wall = { guards: [{ kind: 'mesh', wire_mm: 1, pitch_mm: 10 }] };
  expect(statedWall(barred)).toEqual(barred);
});

describe('a wall has depth', () => {
  it('by any of its own parts, but not by the leads of its window', () => {
    expect([{}, { leaf_mm: 1 }, { guards: [] }].map(hasDepth)).toEqual([false, false, false]);
    expect(hasDepth({ outer: { depth_m: 0.2 } })).toBe(true);
    expect(hasDepth({ leaf_mm: 1, guards: [{ kind: 'mesh', wire_mm: 1, pitch_mm: 10 }] })).toBe(true);
  });
});

describe('what the picture shows of a wall', () => {
  const overhang = { depth_m: 0.5, above_m: 0.1, width_m: 2 };
  it('is what is stated', () => {
    expect(shownWords({ overhang })).toBe('The picture shows the overhang.');
    expect(
      shownWords({
        outer: { depth_m: 0.3 },
        inner: { depth_m: 0.2 },
        overhang,
        guards: [{ kind: 'mesh', wire_mm: 1.6, pitch_mm: 12 }],
      }),
    ).toBe('The picture shows the outer reveal, the inner reveal, the overhang and an even veil for bars and mesh.');
  });
  it('is nothing of leads, or of a reveal without depth', () => {
    expect(shownWords({ leaf_mm: 1, inner: { depth_m: 0 } })).toBe(null);
  });
});
