// Where the numbered marks of places stand over a window, in CSS pixels, so that none hides another: places that one ring
// would cover share a mark, and a number that has no room at its ring stands off it, on a line.

export type Point = readonly [number, number];

interface Box {
  left: number;
  top: number;
  width: number;
  height: number;
}

export interface MarkLabel {
  words: string;
  /** From the place of the mark. */
  left: number;
  top: number;
  width: number;
  /** The line from the ring to a label that stands off it; null if none is needed. */
  line: { top: number; height: number } | null;
}

export interface PlacedMark {
  /** Indices of the places, the first of which has the ring. */
  places: readonly number[];
  at: Point;
  label: MarkLabel;
}

const RING = 9;
/** Places this near are one mark: beside one another, their rings would overlap. */
const TOGETHER = 2 * RING + 2;
export const LABEL_HEIGHT = 20;
/** Of a digit, comma or dash in the labels’ type, and what a label has around its words. */
const LETTER = 8;
const AROUND = 10;
const LEAST_WIDTH = 20;
const GAP = 2;
/** How many numbers or runs of numbers a label shows. */
const MOST_RUNS = 3;
/** How many labels may stand between a ring and its own. */
const MOST_ROWS = 8;

const meet = (a: Box, b: Box): boolean =>
  a.left < b.left + b.width + GAP &&
  b.left < a.left + a.width + GAP &&
  a.top < b.top + b.height + GAP &&
  b.top < a.top + a.height + GAP;

const apart = ([ax, ay]: Point, [bx, by]: Point): number => Math.hypot(ax - bx, ay - by);

/** These places, those that are too near for a mark each together; the first of a group gets the ring. */
function grouped(places: readonly Point[], these: readonly number[]): number[][] {
  const groups: number[][] = [];
  for (const i of these) {
    const place = places[i]!;
    let nearest: number[] | null = null;
    let distance = TOGETHER;
    for (const group of groups) {
      const to = apart(places[group[0]!]!, place);
      if (to < distance) [nearest, distance] = [group, to];
    }
    if (nearest === null) groups.push([i]);
    else nearest.push(i);
  }
  return groups;
}

/** The numbers of places in words: `3`, `2, 7`, `15–18`. */
export function numberWords(places: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const place of [...places].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last !== undefined && last[1] === place) last[1] = place + 1;
    else runs.push([place + 1, place + 1]);
  }
  const words = runs.flatMap(([from, to]) => {
    if (from === to) return [`${from}`];
    return to === from + 1 ? [`${from}`, `${to}`] : [`${from}–${to}`];
  });
  return words.slice(0, MOST_RUNS).join(', ') + (words.length > MOST_RUNS ? ' …' : '');
}

/** Where a label may stand, from its ring, the best first. */
function* positions(width: number): Generator<Pick<MarkLabel, 'left' | 'top' | 'line'>> {
  const near = RING + 1;
  for (const top of [-near - LABEL_HEIGHT, near]) {
    for (const left of [4, -4 - width, -width / 2]) yield { left, top, line: null };
  }
  for (let row = 1; row <= MOST_ROWS; row += 1) {
    const off = near + row * (LABEL_HEIGHT + GAP + 1);
    for (const up of [true, false]) {
      const line = { top: up ? -off : near, height: off - near };
      for (const left of [-6, 6 - width, -width / 2]) yield { left, top: up ? -off - LABEL_HEIGHT : off, line };
    }
  }
}

const labelBox = ([x, y]: Point, { left, top, width }: MarkLabel): Box => ({
  left: x + left,
  top: y + top,
  width,
  height: LABEL_HEIGHT,
});

const lineBox = ([x, y]: Point, { line }: MarkLabel): Box | null =>
  line === null ? null : { left: x - 1, top: y + line.top, width: 2, height: line.height };

/**
 * The position on a surface of this size, or at most `beyond` outside it, with the lowest cost, the first of several.
 */
function labelOf(
  words: string,
  at: Point,
  size: Point,
  beyond: number,
  costOf: (label: MarkLabel) => number,
): MarkLabel {
  const width = Math.max(LEAST_WIDTH, AROUND + LETTER * words.length);
  let best: MarkLabel = { words, width, left: 4, top: -RING - 1 - LABEL_HEIGHT, line: null };
  let least = Infinity;
  for (const position of positions(width)) {
    const label = { words, width, ...position };
    const { left, top } = labelBox(at, label);
    if (left < -beyond || left + width > size[0] + beyond) continue;
    if (top < -beyond || top + LABEL_HEIGHT > size[1] + beyond) continue;
    const cost = costOf(label);
    if (cost < least) [best, least] = [label, cost];
    if (cost === 0) break;
  }
  return best;
}

/** The mark of one place by itself. */
export const loneMark = (place: number, at: Point, size: Point, beyond = 0): PlacedMark => ({
  places: [place],
  at,
  label: labelOf(`${place + 1}`, at, size, beyond, () => 0),
});

/** The marks of the places on a surface of this size, or at most `beyond` outside it. */
export function markLayout(places: readonly Point[], size: Point, beyond = 0): PlacedMark[] {
  const isSeen = (place: Point): boolean =>
    place.every((along, axis) => along >= -beyond && along <= size[axis]! + beyond);
  const seen = [...places.keys()].filter((i) => isSeen(places[i]!));
  const groups = grouped(places, seen);
  const rings = groups.map(([first]): Box => {
    const [x, y] = places[first!]!;
    return { left: x - RING, top: y - RING, width: 2 * RING, height: 2 * RING };
  });
  const labels: Box[] = [];
  const lines: Box[] = [];
  return groups.map((group, own) => {
    const at = places[group[0]!]!;
    // That a number hides another is worst; that a line runs across something is hardly a fault.
    const costOf = (label: MarkLabel): number => {
      const box = labelBox(at, label);
      const line = lineBox(at, label);
      const others = rings.filter((_, i) => i !== own);
      const crossed = line === null ? [] : [...labels, ...others].filter((other) => meet(line, other));
      return (
        100 * labels.filter((other) => meet(box, other)).length +
        10 * others.filter((other) => meet(box, other)).length +
        lines.filter((other) => meet(box, other)).length +
        crossed.length
      );
    };
    const label = labelOf(numberWords(group), at, size, beyond, costOf);
    labels.push(labelBox(at, label));
    const line = lineBox(at, label);
    if (line !== null) lines.push(line);
    return { places: group, at, label };
  });
}
