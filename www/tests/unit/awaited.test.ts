import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Awaited } from '../../src/state/awaited.svelte';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('what comes soon is never late, what does not is late until it comes', () => {
  const awaited = new Awaited();
  awaited.begin();
  vi.advanceTimersByTime(300);
  expect([awaited.waiting, awaited.late]).toEqual([true, false]);
  awaited.came(true);
  vi.advanceTimersByTime(1000);
  expect([awaited.waiting, awaited.late]).toEqual([false, false]);
  awaited.begin();
  vi.advanceTimersByTime(500);
  expect(awaited.late).toBe(true);
  awaited.came(true);
  expect([awaited.waiting, awaited.late]).toEqual([false, false]);
});

test('asked again and again without an answer it is late, with answers on the way it is not', () => {
  const awaited = new Awaited();
  for (let i = 0; i < 5; i += 1) {
    awaited.begin();
    vi.advanceTimersByTime(100);
  }
  expect(awaited.late).toBe(true);
  for (let i = 0; i < 5; i += 1) {
    awaited.begin();
    awaited.came(false);
    vi.advanceTimersByTime(300);
    expect([awaited.waiting, awaited.late]).toEqual([true, false]);
  }
  awaited.end();
  vi.advanceTimersByTime(1000);
  expect([awaited.waiting, awaited.late]).toEqual([false, false]);
});
