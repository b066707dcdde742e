import { describe, expect, it } from 'vitest';
import { sunMarks } from '../../src/state/sun-marks';

const WIDTH = 640;
const mark = (at: number) => ({ at, width: 90 });

describe('the words of sunrise and sunset', () => {
  it('stand in the night where there is room', () => {
    expect(sunMarks(mark(200), mark(500), WIDTH)).toEqual({
      rise: { side: 'before', raised: false },
      set: { side: 'after', raised: false },
    });
  });

  it('stay within the ribbon', () => {
    expect(sunMarks(mark(40), mark(637), WIDTH)).toEqual({
      rise: { side: 'after', raised: false },
      set: { side: 'before', raised: false },
    });
  });

  it('stand one above the other in a short night at the start of the day', () => {
    // Sunset shortly after midnight, sunrise two hours later: there is room on one side only.
    expect(sunMarks(mark(60), mark(5), WIDTH)).toEqual({
      rise: { side: 'after', raised: false },
      set: { side: 'after', raised: true },
    });
  });

  it('stand apart in a short day', () => {
    expect(sunMarks(mark(310), mark(330), WIDTH)).toEqual({
      rise: { side: 'before', raised: false },
      set: { side: 'after', raised: false },
    });
  });
});
