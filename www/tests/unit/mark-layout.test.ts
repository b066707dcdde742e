import { describe, expect, it } from 'vitest';
import { LABEL_HEIGHT, markLayout, numberWords, type PlacedMark, type Point } from '../../src/state/mark-layout';

const SIZE: Point = [400, 300];

const labelBox = ({ at, label }: PlacedMark) => ({
  left: at[0] + label.left,
  right: at[0] + label.left + label.width,
  top: at[1] + label.top,
  bottom: at[1] + label.top + LABEL_HEIGHT,
});

function expectApart(marks: readonly PlacedMark[]): void {
  for (const [i, one] of marks.entries()) {
    const box = labelBox(one);
    expect(box.left).toBeGreaterThanOrEqual(0);
    expect(box.right).toBeLessThanOrEqual(SIZE[0]);
    for (const other of marks.slice(i + 1)) {
      const its = labelBox(other);
      const overlap = box.left < its.right && its.left < box.right && box.top < its.bottom && its.top < box.bottom;
      expect(overlap, `${one.label.words} and ${other.label.words}`).toBe(false);
      expect(Math.hypot(one.at[0] - other.at[0], one.at[1] - other.at[1])).toBeGreaterThanOrEqual(20);
    }
  }
}

describe('marks of places', () => {
  it('stand at the upper right of their rings where there is room', () => {
    const marks = markLayout(
      [
        [100, 100],
        [200, 100],
      ],
      SIZE,
    );
    expect(marks.map(({ label }) => [label.words, label.left, label.line])).toEqual([
      ['1', 4, null],
      ['2', 4, null],
    ]);
  });

  it('are one where rings would overlap, and no place is lost', () => {
    const places: Point[] = [
      [100, 100],
      [110, 100],
      [300, 100],
      [105, 108],
    ];
    const marks = markLayout(places, SIZE);
    expect(marks.map(({ label }) => label.words)).toEqual(['1, 2, 4', '3']);
    expect(marks.flatMap((mark) => mark.places).sort()).toEqual([0, 1, 2, 3]);
  });

  it('stay apart in a row, in a heap and at the edge', () => {
    const row = Array.from({ length: 18 }, (_, i): Point => [20 + 15.6 * i, 150]);
    const heap = Array.from({ length: 30 }, (_, i): Point => [180 + ((i * 17) % 40), 130 + ((i * 29) % 50)]);
    const edge = [
      [398, 4],
      [398, 26],
      [380, 4],
      [2, 297],
    ] as Point[];
    for (const places of [row, heap, edge]) {
      const marks = markLayout(places, SIZE);
      expectApart(marks);
      expect(marks.flatMap((mark) => mark.places)).toHaveLength(places.length);
    }
  });

  it('are made for places around a window where that has room around it', () => {
    const around: Point[] = [
      [-14, 100],
      [200, -14],
      [414, 314],
    ];
    const marks = markLayout(around, SIZE, 14);
    expect(marks.map(({ label }) => label.words)).toEqual(['1', '2', '3']);
    for (const { at, label } of marks) {
      const [left, top] = [at[0] + label.left, at[1] + label.top];
      expect(left >= -14 && top >= -14 && left + label.width <= 414 && top + LABEL_HEIGHT <= 314).toBe(true);
    }
  });

  it('are not made for places out of sight', () => {
    expect(
      markLayout(
        [
          [-30, 100],
          [50, 50],
          [50, 301],
        ],
        SIZE,
      ).map(({ label }) => label.words),
    ).toEqual(['2']);
  });

  it.each([
    [[2], '3'],
    [[6, 1], '2, 7'],
    [[14, 15, 16, 17], '15–18'],
    [[0, 5, 9, 14], '1, 6, 10 …'],
    [[0, 1], '1, 2'],
  ])('numbers %j are written %s', (places, words) => {
    expect(numberWords(places)).toBe(words);
  });
});
