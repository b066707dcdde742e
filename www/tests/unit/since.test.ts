// When something happened, in everyday words.
import { expect, test } from 'vitest';
import { since } from '../../src/state/since';

const at = (day: number, hour: number): Date => new Date(2026, 10, day, hour, 5);

test('today by the time, yesterday by name, earlier by the date', () => {
  const now = at(25, 14);
  expect(since(at(25, 9), now)).not.toMatch(/yesterday|25/);
  expect(since(at(24, 23), now)).toMatch(/^yesterday .*05/);
  expect(since(at(23, 23), now)).toMatch(/23.*, .*05/);
});
