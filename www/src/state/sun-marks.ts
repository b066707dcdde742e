// Where the words of sunrise and sunset stand in the day ribbon: at their lines, one above the other if need be.

export interface SunMark {
  /** Of its line, and the width of its words, CSS pixels. */
  at: number;
  width: number;
}

export interface SunMarkPlace {
  /** On which side of its line the words stand. */
  side: 'before' | 'after';
  /** One line of text higher, because the words below it are those of the other. */
  raised: boolean;
}

const spanOf = ({ at, width }: SunMark, side: SunMarkPlace['side']): [number, number] =>
  side === 'before' ? [at - width, at] : [at, at + width];

const SIDES = [
  ['before', 'after'],
  ['after', 'after'],
  ['before', 'before'],
  ['after', 'before'],
] as const;

/** Both in the night where there is room, and within the ribbon, which is `width` CSS pixels wide. */
export function sunMarks(rise: SunMark, set: SunMark, width: number): { rise: SunMarkPlace; set: SunMarkPlace } {
  const within = (mark: SunMark, side: SunMarkPlace['side']): boolean => {
    const [from, to] = spanOf(mark, side);
    return from >= 0 && to <= width;
  };
  const possible = SIDES.filter(([a, b]) => within(rise, a) && within(set, b));
  const covers = (mark: SunMark, side: SunMarkPlace['side'], line: number): boolean => {
    const [from, to] = spanOf(mark, side);
    return from < line && line < to;
  };
  const apart = possible.find(([a, b]) => {
    const [x, y] = [spanOf(rise, a), spanOf(set, b)];
    return (x[1] <= y[0] || y[1] <= x[0]) && !covers(rise, a, set.at) && !covers(set, b, rise.at);
  });
  const [a, b] = apart ?? possible[0] ?? SIDES[0];
  // The words that would run across the line of the other are above its end.
  const raises = apart !== undefined ? null : covers(rise, a, set.at) ? 'rise' : 'set';
  return { rise: { side: a, raised: raises === 'rise' }, set: { side: b, raised: raises === 'set' } };
}
