import { expect, test } from 'vitest';
import { StableKeys } from '../../src/state/stable-keys';

const of = (keys: StableKeys, ...things: string[]): number[] => [...keys.of(things)];

test('a thing keeps its key while it is changed, and when others come and go', () => {
  const keys = new StableKeys();
  const [a, b, c] = of(keys, 'a', 'b', 'c');
  expect(new Set([a, b, c]).size).toBe(3);
  expect(of(keys, 'a', 'b changed', 'c')).toEqual([a, b, c]);
  expect(of(keys, 'b changed', 'c')).toEqual([b, c]);
  // Undone: it comes back, with a key that none had.
  const again = of(keys, 'a', 'b changed', 'c');
  expect(again.slice(1)).toEqual([b, c]);
  expect([a, b, c]).not.toContain(again[0]);
  const added = of(keys, 'a', 'b changed', 'c', 'd');
  expect(added.slice(0, 3)).toEqual(again);
  expect(new Set(added).size).toBe(4);
});

test('of several alike the one that leaves takes its key along', () => {
  const keys = new StableKeys();
  const [first, second, third] = of(keys, 'wall', 'wall', 'wall');
  keys.leaving(0);
  expect(of(keys, 'wall', 'wall')).toEqual([second, third]);
  // What was taken away by another way than said, such as an undo, is found all the same.
  keys.leaving(0);
  expect(of(keys, 'wall', 'wall')).toEqual([second, third]);
  // A removal that was refused.
  keys.leaving(0);
  keys.leaving(null);
  expect(of(keys, 'wall')).toEqual([second]);
  expect([first, second, third]).not.toContain(of(keys, 'wall', 'wall')[1]);
});
