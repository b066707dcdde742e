import { describe, expect, it } from 'vitest';
import { namePlace } from '../../src/state/plan-name';

const ROOM = { left: 8, top: 8, width: 300, height: 180 };

describe('the name of a position in the plan', () => {
  it('stands to the right, or to the left where there is no room', () => {
    expect(namePlace(90, [60, 100], [], ROOM)).toMatchObject({ x: 72, y: 100 });
    expect(namePlace(90, [250, 100], [], ROOM)).toMatchObject({ x: 148, y: 100 });
  });

  it('stands above, and clear of the window wall, where there is room on neither side', () => {
    const { x, y } = namePlace(160, [160, 100], [], ROOM);
    expect(y).toBe(82);
    expect(x).toBeGreaterThanOrEqual(16);
    expect(x + 160).toBeLessThanOrEqual(300);
    // Below if there is none above.
    expect(namePlace(160, [160, 16], [], ROOM).y).toBe(34);
  });

  it('covers no other position where it need not', () => {
    expect(namePlace(90, [150, 100], [[190, 102]], ROOM).x).toBe(48);
  });

  it('is no wider than the room', () => {
    const { x, most } = namePlace(900, [150, 100], [], ROOM);
    expect(x).toBe(16);
    expect(most).toBe(284);
  });
});
