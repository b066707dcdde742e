// What the figures forget when another scene is opened.
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { Report } from '../../src/engine/contract';
import type { FiguresEvents } from '../../src/engine/figures-client';
import { figures } from '../../src/state/figures.svelte';

const fake = vi.hoisted((): { events: FiguresEvents | null; ranges: unknown[][] } => ({ events: null, ranges: [] }));

vi.mock('../../src/engine/figures-client', () => ({
  FiguresClient: class {
    constructor(_module: unknown, _text: string, events: FiguresEvents) {
      fake.events = events;
    }
    wantRanges(...asked: unknown[]): void {
      fake.ranges.push(asked);
    }
    open(): void {}
    wantReport(): void {}
    wantYear(): void {}
    stopYear(): void {}
  },
}));
vi.mock('../../src/state/units', () => ({ lengthM: String }));
vi.mock('../../src/state/clock.svelte', () => ({
  clock: { at: '2026-06-21T12:00', civil: { date: '2026-06-21', minute: 720 } },
}));
vi.mock('../../src/state/scene.svelte', () => ({ scene: { shownText: () => '' } }));
vi.mock('../../src/state/viewpoint.svelte', () => ({ viewpoint: { placeName: 'bench' } }));

const events = (): FiguresEvents => {
  if (fake.events === null) throw new Error('the figures have not begun');
  return fake.events;
};
const hour = { at: '2026-06-21T12:00', place: 'bench' };
const lit = (total_lx: number): Report => ({ viewing: { vertical: { total_lx } } }) as unknown as Report;

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

test('another scene leaves no hour, fault, change or pending question of the one before', () => {
  figures.begin({});
  events().report(lit(100), hour);
  vi.runAllTimers();
  expect(fake.ranges).toEqual([[hour.at, hour.place]]);
  figures.compareFromNow();
  events().report(lit(120), hour);
  expect(figures.compared).toEqual({ from: 100, to: 120 });

  // Opened before the hour has stayed long enough to be asked for its ranges.
  figures.open('{}');
  expect([figures.reportAt, figures.reportPlace, figures.current]).toEqual(['', '', null]);
  vi.runAllTimers();
  expect(fake.ranges).toHaveLength(1);
  // The same hour and place of another scene are not compared with those before.
  events().report(lit(300), hour);
  expect(figures.compared).toBe(null);

  events().refused([{ path: 'at', expected: 'a time', found: 'none' }]);
  figures.open('{}');
  expect(figures.reportFaults).toEqual([]);
});

test('while another report is awaited, the one shown is not current, and after a while late', () => {
  figures.open('{}');
  figures.askReport();
  events().report(lit(100), hour);
  expect(figures.current).not.toBe(null);
  figures.askReport();
  expect(figures.current).toBe(null);
  expect(figures.late).toBe(false);
  vi.advanceTimersByTime(500);
  expect(figures.late).toBe(true);
  // Of another hour: it shows that the light follows, but is not the one asked for.
  events().report(lit(110), { ...hour, at: '2026-06-21T12:05' });
  expect([figures.late, figures.current]).toEqual([false, null]);
  vi.advanceTimersByTime(500);
  expect(figures.late).toBe(true);
  events().report(lit(120), hour);
  expect([figures.late, figures.current?.viewing.vertical.total_lx]).toEqual([false, 120]);
  figures.askReport();
  vi.advanceTimersByTime(500);
  events().refused([{ path: 'at', expected: 'a time', found: 'none' }]);
  expect(figures.late).toBe(false);
});
