import { describe, expect, it } from 'vitest';
import type { Place, Surroundings, WindowOutline, WindowPlace } from '../../src/engine/contract';
import { wholePicture } from '../../src/state/reveal-seen';

const outline = { id: 'west', width_mm: 1000, height_mm: 2000 } as WindowOutline;
const glass = { left: 0, right: 1000, top: 0, bottom: 2000 };

const window = (depth_m: number, grown = 0): WindowPlace => ({
  id: 'west',
  centre_x_m: 2.5,
  sill_height_m: 1,
  width_m: 1,
  height_m: 2,
  wall: depth_m > 0 ? { inner: { depth_m } } : {},
  outer_face: { left_m: 2, right_m: 3, bottom_m: 1, top_m: 3 },
  inner_face: { left_m: 2 - grown, right_m: 3 + grown, bottom_m: 1 - grown, top_m: 3 + grown },
  overhang_if_added: { depth_m: 0.5, above_m: 0.1, width_m: 1.4 },
});

const around = (...windows: WindowPlace[]): Surroundings => ({ windows }) as unknown as Surroundings;
const place = (distance_m: number, right_m: number, eye_height_m: number): Place => ({
  name: 'bench',
  distance_m,
  right_m,
  eye_height_m,
});

describe('the whole picture', () => {
  it('is the glass without an inner reveal, and before there is a place', () => {
    expect(wholePicture(outline, place(3, 0, 2), around(window(0)))).toEqual(glass);
    expect(wholePicture(outline, null, around(window(0.3)))).toEqual(glass);
    expect(wholePicture(outline, place(3, 0, 2), null)).toEqual(glass);
    expect(wholePicture({ ...outline, id: 'east' }, place(3, 0, 2), around(window(0.3)))).toEqual(glass);
  });

  it('reaches to the edges of the reveal as they are seen', () => {
    // From 1 m, past an opening half a metre before the glass: twice as large as the glass.
    const shown = wholePicture(outline, place(1, 0, 2), around(window(0.5)));
    expect(shown).toEqual({ left: -500, right: 1500, top: -800, bottom: 2800 });
  });

  it('shows the far side only, and no more of it than 0.4 of the larger side', () => {
    const shown = wholePicture(outline, place(1, -1, 2), around(window(0.5)));
    expect(shown.left).toBe(0 - 0);
    expect(shown.right).toBe(1800);
    const nearly = wholePicture(outline, place(5, -1, 2), around(window(0.5)));
    // 1.5 m to the right of the eye, in the inner face; 5 m are ten ninths of 4.5 m.
    expect(nearly.right).toBeCloseTo(1000 + 1000 * (1.5 / 0.9 - 1.5), 9);
    expect(nearly.left).toBeCloseTo(0, 12);
  });

  it('counts distances from the glass of the first window', () => {
    const first = { ...window(0), id: 'first' };
    // 1 m before the first window's glass, which is flush: 1.5 m before this one's.
    const shown = wholePicture(outline, place(1, 0, 2), around(first, window(0.5, 0.1)));
    expect(shown.right).toBeCloseTo(500 + 600 * 1.5, 9);
  });

  it('stays finite for an eye in the face of the wall', () => {
    const shown = wholePicture(outline, place(0.5, 0, 2), around(window(0.5)));
    expect(Object.values(shown).every(Number.isFinite)).toBe(true);
  });
});
