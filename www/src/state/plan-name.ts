// Where the name of a position stands in the plan of a room, in the units of the drawing.

export type Point = readonly [number, number];

export interface Box {
  left: number;
  top: number;
  width: number;
  height: number;
}

/** Between a point and its name. */
const BESIDE = 12;
const ABOVE = 18;
/** Clear of the walls and the window. */
const EDGE = 8;
const HALF_LINE = 9;
/** The radius of another position’s point. */
const DOT = 5;

/**
 * Where a name of a width begins, at half its height, and how wide it may be: to the right of its position, to the left,
 * above or below, wherever there is first room without covering another position.
 */
export function namePlace(
  width: number,
  [x, y]: Point,
  others: readonly Point[],
  box: Box,
): { x: number; y: number; most: number } {
  const most = box.width - 2 * EDGE;
  const wide = Math.min(width, most);
  const [least, last] = [box.left + EDGE, box.left + box.width - EDGE];
  const middle = Math.min(last - wide, Math.max(least, x - wide / 2));
  const possible = [
    [x + BESIDE, y],
    [x - BESIDE - wide, y],
    [middle, y - ABOVE],
    [middle, y + ABOVE],
  ].map(([left, at]) => ({ x: left!, y: at! }));
  const within = possible.filter(
    (one) =>
      one.x >= least &&
      one.x + wide <= last &&
      (one.y === y || (one.y >= box.top + HALF_LINE && one.y <= box.top + box.height - HALF_LINE)),
  );
  const covers = (one: { x: number; y: number }): boolean =>
    others.some(([a, b]) => a > one.x - DOT && a < one.x + wide + DOT && Math.abs(b - one.y) < HALF_LINE + DOT);
  const found = within.find((one) => !covers(one)) ?? within[0] ?? possible[2]!;
  return { ...found, most };
}
