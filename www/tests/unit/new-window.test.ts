// A new window until it is lit: every state of its two sources, with workings that end when the test says so.
import { beforeEach, expect, test, vi } from 'vitest';
import type { CheckedDrawing, CheckedOpening, DrawnOpening, Fault, WindowStart } from '../../src/engine/contract';
import { SceneFaults } from '../../src/engine/faults';

/** Work that the test ends. */
class FakeWork {
  stopped = false;
  resolve: (value: unknown) => void = () => undefined;
  reject: (error: unknown) => void = () => undefined;
  readonly done = new Promise<unknown>((resolve, reject) => {
    this.resolve = resolve;
    this.reject = reject;
  });

  constructor(readonly given: unknown[]) {}

  stop(): void {
    this.stopped = true;
  }
}

interface Fake {
  works: { kind: string; work: FakeWork }[];
  opened: { name: string; text: string; end: (opened: boolean) => void }[];
  /** Places to look at in each window that was lit. */
  lit: unknown[];
  filesStopped: number;
  make(kind: string, given: unknown[]): FakeWork;
}

const fake = vi.hoisted((): Fake => ({
  works: [],
  opened: [],
  lit: [],
  filesStopped: 0,
  make: () => {
    throw new Error('not ready');
  },
}));

vi.mock('../../src/engine/new-window', () => {
  const of =
    (kind: string) =>
    (...given: unknown[]): unknown =>
      fake.make(kind, given);
  class OpeningDrawer {
    #works: FakeWork[] = [];
    draw(...given: unknown[]): Promise<unknown> {
      const work = fake.make('draw', given);
      this.#works.push(work);
      return work.done;
    }
    stop(): void {
      for (const work of this.#works.splice(0)) work.stop();
    }
  }
  return {
    checkDrawing: of('check'),
    drawingWidths: of('widths'),
    sceneOfDrawing: of('scene'),
    sceneOfOpening: of('scene of opening'),
    OpeningDrawer,
  };
});
vi.mock('../../src/state/files.svelte', () => ({
  files: {
    takeDrawing: () => undefined,
    openNew: (name: string, text: string) =>
      new Promise<boolean>((resolve) => fake.opened.push({ name, text, end: resolve })),
    stop: () => (fake.filesStopped += 1),
  },
}));
vi.mock('../../src/state/line-check.svelte', () => ({
  lineCheck: { lit: (places: unknown) => fake.lit.push(places) },
}));
vi.mock('../../src/state/preferences.svelte', () => ({ preferences: { system: 'metric' } }));

const { dialogs } = await import('../../src/state/dialogs.svelte');
const { newWindow } = await import('../../src/state/new-window.svelte');
const { drawing, opening } = newWindow;

fake.make = (kind, given) => {
  const work = new FakeWork(given);
  fake.works.push({ kind, work });
  return work;
};

/** The last work of a kind. */
function last(kind: string): FakeWork {
  const found = fake.works.findLast((one) => one.kind === kind);
  if (found === undefined) throw new Error(`no ${kind} was asked for`);
  return found.work;
}
const count = (kind: string): number => fake.works.filter((one) => one.kind === kind).length;
/** Lets what has been answered be heard. */
const heard = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));

const USUAL = {
  site: { latitude_deg: 51.5, longitude_deg: 0, elevation_m: 20, time_zone: 'Europe/London' },
  facing_deg: 180,
  sill_height_m: 0.9,
  working_planes: [],
};
const checked = (widthMm: number): CheckedDrawing => ({
  width_mm: widthMm,
  height_mm: 900,
  width_range_mm: [10, 20_000],
  pieces: 3,
  layers: [{ name: 'saddle', taken_as: 'ignored', groups: [2] }],
  places: [],
  assumed: [],
  outline: '',
  cutlines: '',
  bars: '',
  usual: USUAL,
});
const drawn = (change: Partial<DrawnOpening> = {}): CheckedOpening => ({
  drawn: {
    width_mm: 600,
    height_mm: 1500,
    rise_mm: null,
    pane_mm: null,
    pieces: 40,
    smallest_mm2: 100,
    smallest: '',
    bar_count: 2,
    outline: '',
    cutlines: '',
    bars: '',
    usual: USUAL,
    ...change,
  },
  faults: [],
});
const file = (name: string): File => new File(['<svg/>'], name);
const fault = (change: Partial<Fault>): Fault => ({ path: '', expected: 'this', found: 'that', ...change });

async function read(widthMm = 600): Promise<void> {
  newWindow.take(file('aisle.svg'));
  last('check').resolve(checked(widthMm));
  await heard();
}

async function measured(): Promise<void> {
  newWindow.open();
  newWindow.measure();
  last('draw').resolve(drawn());
  await heard();
}

const close = (): void => {
  dialogs.open = null;
  newWindow.closed();
};

beforeEach(() => {
  close();
  newWindow.startOver();
  [fake.works, fake.opened, fake.lit, fake.filesStopped] = [[], [], [], 0];
});

test('a drawing is read, lit, and forgotten', async () => {
  await read();
  expect([newWindow.from, newWindow.ready, newWindow.doing]).toEqual(['drawing', true, null]);
  void newWindow.light();
  await heard();
  expect(newWindow.doing).toBe('Making the scene …');
  last('scene').resolve('{"note":"Assumed."}');
  await heard();
  expect(newWindow.doing).toBe('Letting in the light …');
  expect(fake.opened[0]).toMatchObject({ name: 'aisle', text: '{"note":"Assumed."}' });
  fake.opened[0]!.end(true);
  await heard();
  expect([dialogs.open, newWindow.from, drawing.file]).toEqual([null, null, null]);
  expect(fake.lit).toEqual([[]]);
});

test('closing the dialog keeps everything until the window is lit', async () => {
  await read();
  drawing.setWidth(700);
  last('check').resolve(checked(700));
  await heard();
  drawing.setRole(checked(700).layers[0]!, 'bars');
  last('check').resolve(checked(700));
  await heard();
  newWindow.name = 'South aisle';
  newWindow.stands = { ...newWindow.stands, facingDeg: 90, timeZone: 'Europe/Lisbon' };
  close();
  newWindow.open();
  expect([newWindow.from, newWindow.name, newWindow.ready]).toEqual(['drawing', 'South aisle', true]);
  expect(newWindow.stands).toMatchObject({ facingDeg: 90, timeZone: 'Europe/Lisbon', position: null });
  expect([drawing.window?.width_mm, drawing.asked.widthMm]).toEqual([700, 700]);
  expect(drawing.asked.roles).toEqual(new Map([[2, 'bars']]));

  // Another drawing is another window.
  close();
  newWindow.take(file('porch.svg'));
  expect([newWindow.name, newWindow.stands.facingDeg, drawing.asked.widthMm]).toEqual([null, null, null]);
});

test('a reading that closing the dialog stopped goes on when it is opened again', async () => {
  newWindow.take(file('aisle.svg'));
  const first = last('check');
  close();
  expect(first.stopped).toBe(true);
  expect(newWindow.doing).toBeNull();
  newWindow.open();
  expect([newWindow.from, drawing.file?.name, newWindow.doing]).toEqual([
    'drawing',
    'aisle.svg',
    'Reading the drawing …',
  ]);
  expect(count('check')).toBe(2);
  last('check').resolve(checked(600));
  await heard();
  expect(newWindow.ready).toBe(true);
  // Once is enough.
  close();
  newWindow.open();
  expect(count('check')).toBe(2);
});

test('a drawing whose first reading is stopped is left out, a later one stays as it was', async () => {
  newWindow.take(file('aisle.svg'));
  newWindow.stop();
  expect([newWindow.from, drawing.file]).toEqual([null, null]);
  await read();
  drawing.setWidth(800);
  newWindow.stop();
  expect([newWindow.from, drawing.asked.widthMm, newWindow.ready]).toEqual(['drawing', null, true]);
  // What was stopped does not stand in the way of the light.
  void newWindow.light();
  await heard();
  expect(newWindow.doing).toBe('Making the scene …');
});

test('a refused width is asked for again, and only a missing one is said to be missing', async () => {
  newWindow.take(file('aisle.svg'));
  last('check').reject(new SceneFaults([fault({ path: 'width_mm', expected: 'a width', found: 'none' })]));
  await heard();
  last('widths').resolve([10, 20_000]);
  await heard();
  expect([drawing.needsWidth, drawing.lacksWidth, drawing.refused]).toEqual([true, true, []]);
  drawing.setWidth(30_000);
  last('check').reject(
    new SceneFaults([fault({ path: 'width_mm', expected: 'at most 20 000 mm', found: '30 000 mm' })]),
  );
  await heard();
  expect([drawing.needsWidth, drawing.lacksWidth]).toEqual([true, false]);
  expect(drawing.refused).toEqual(['Expected at most 20 000 mm; found 30 000 mm.']);
});

test('stopping while the scene is made leaves the window ready to be lit', async () => {
  await read();
  void newWindow.light();
  await heard();
  const making = last('scene');
  newWindow.stop();
  expect([making.stopped, newWindow.doing, newWindow.ready]).toEqual([true, null, true]);
  making.resolve('{}');
  await heard();
  expect(fake.opened).toEqual([]);
});

test('closing while the light is let in stops it, and opens nothing', async () => {
  await read();
  void newWindow.light();
  await heard();
  last('scene').resolve('{}');
  await heard();
  close();
  expect(fake.filesStopped).toBe(1);
  fake.opened[0]!.end(false);
  await heard();
  newWindow.open();
  expect([newWindow.ready, newWindow.failed]).toEqual([true, []]);
});

test('a second drawing that is dropped while lighting takes the place of the first', async () => {
  await read();
  void newWindow.light();
  await heard();
  const making = last('scene');
  newWindow.take(file('porch.svg'));
  expect(making.stopped).toBe(true);
  last('check').resolve(checked(500));
  await heard();
  expect([newWindow.source?.usualName, newWindow.ready, fake.opened]).toEqual(['porch', true, []]);
});

test('a lighting that fails says so, and can be tried again', async () => {
  await read();
  void newWindow.light();
  await heard();
  last('scene').reject(new Error('the network is down'));
  await heard();
  expect(newWindow.failed).toEqual(['The window could not be lit (the network is down). Try again.']);
  expect([drawing.refused, newWindow.ready]).toEqual([[], true]);
  void newWindow.light();
  await heard();
  expect([newWindow.failed, newWindow.doing]).toEqual([[], 'Making the scene …']);
  last('scene').reject(new SceneFaults([fault({ path: 'at', expected: 'an hour', found: 'noon' })]));
  await heard();
  expect([newWindow.failed, newWindow.ready]).toEqual([['Expected an hour; found noon.'], true]);
});

test('a scene that is not opened leaves the window ready', async () => {
  await measured();
  void newWindow.light();
  await heard();
  last('scene of opening').resolve('{}');
  await heard();
  fake.opened[0]!.end(false);
  await heard();
  expect([dialogs.open, newWindow.from, newWindow.ready]).toEqual(['new-window', 'opening', true]);
});

test('what was not told of the place is assumed, and the note says so', async () => {
  await read();
  const given = async (): Promise<WindowStart> => {
    void newWindow.light();
    await heard();
    return last('scene').given.at(-1) as WindowStart;
  };
  expect((await given()).site).toBeNull();
  newWindow.stop();
  newWindow.stands = { ...newWindow.stands, position: { latitude_deg: 38.7, longitude_deg: -9.1, elevation_m: 5 } };
  expect((await given()).site).toEqual({
    latitude_deg: 38.7,
    longitude_deg: -9.1,
    elevation_m: 5,
    time_zone: 'Europe/London',
  });
  last('scene').resolve('{"note":"Assumed: the hour."}');
  await heard();
  expect(JSON.parse(fake.opened[0]!.text)).toEqual({ note: 'Assumed: the hour. The time zone was assumed, too.' });
});

test('stopping the drawing of an opening leaves the last one, stale, until a measurement is changed', async () => {
  await measured();
  expect([opening.stale, newWindow.ready]).toEqual([false, true]);
  opening.set({ widthMm: 700 });
  newWindow.stop();
  expect(last('draw').stopped).toBe(true);
  expect(opening.trouble).toContain('was stopped');
  expect([opening.stale, newWindow.ready, opening.window?.width_mm]).toEqual([true, false, 600]);
  opening.set({ widthMm: 750 });
  last('draw').resolve(drawn({ width_mm: 750 }));
  await heard();
  expect([opening.trouble, opening.stale, newWindow.ready, opening.window?.width_mm]).toEqual([null, false, true, 750]);
});

test('measurements that change while an opening is drawn are drawn next', async () => {
  await measured();
  opening.set({ widthMm: 700 });
  opening.set({ widthMm: 710 });
  expect(count('draw')).toBe(2);
  last('draw').resolve(drawn({ width_mm: 700 }));
  await heard();
  expect(count('draw')).toBe(3);
  last('draw').resolve(drawn({ width_mm: 710 }));
  await heard();
  expect([opening.window?.width_mm, opening.stale]).toEqual([710, false]);
});

test('a drawing of an opening that fails is no longer shown as current', async () => {
  await measured();
  opening.set({ widthMm: 700 });
  last('draw').reject(new Error('out of memory'));
  await heard();
  expect(opening.trouble).toContain('out of memory');
  expect([opening.stale, newWindow.ready]).toEqual([true, false]);
});

test('closing while an opening is drawn keeps its measurements, and draws them when it is opened again', async () => {
  await measured();
  opening.set({ widthMm: 700 });
  close();
  expect(opening.stale).toBe(true);
  newWindow.open();
  expect([newWindow.from, opening.form.widthMm, count('draw')]).toEqual(['opening', 700, 3]);
  last('draw').resolve(drawn({ width_mm: 700 }));
  await heard();
  expect([opening.stale, newWindow.ready]).toEqual([false, true]);
});

test('from the measurements one goes back to the drawing that is there', async () => {
  await read();
  newWindow.measure();
  last('draw').resolve(drawn());
  await heard();
  newWindow.useDrawing();
  expect([newWindow.from, drawing.window?.width_mm, newWindow.ready]).toEqual(['drawing', 600, true]);
  expect(count('check')).toBe(1);
  newWindow.measure();
  expect([newWindow.from, newWindow.ready, count('draw')]).toEqual(['opening', true, 1]);
});

test('a drawing that was being read is read when one goes back to it', async () => {
  newWindow.take(file('aisle.svg'));
  newWindow.measure();
  newWindow.useDrawing();
  expect([newWindow.from, newWindow.doing, count('check')]).toEqual(['drawing', 'Reading the drawing …', 2]);
});

test('the rise to begin with is that of a pointed head, never of another shape', async () => {
  newWindow.open();
  newWindow.measure();
  opening.set({ shape: 'segmental' });
  last('draw').resolve(drawn());
  await heard();
  last('draw').resolve(drawn({ rise_mm: 120 }));
  await heard();
  expect(opening.pointRiseMm).toBeNull();
  opening.set({ shape: 'pointed' });
  expect(opening.pointRiseMm).toBeNull();
  last('draw').resolve(drawn({ rise_mm: 520 }));
  await heard();
  expect(opening.pointRiseMm).toBe(520);
});
