// The page's side of a worker, with a worker simulated by the test.
import { expect, test } from 'vitest';
import { SceneFaults, Trapped } from '../../src/engine/faults';
import { Lasting } from '../../src/engine/lasting';
import type { Call, FromWorker, ToWorker } from '../../src/engine/messages';
import { throwaway } from '../../src/engine/throwaway';
import { WorkerHost } from '../../src/engine/worker-host';

interface Calls {
  double: Call<number, number, string>;
  note: Call<string>;
}

const MODULE = {} as WebAssembly.Module;

class FakeWorker {
  onmessage: ((event: { data: FromWorker }) => void) | null = null;
  onerror: ((event: { message: string }) => void) | null = null;
  sent: ToWorker[] = [];
  ended = false;

  postMessage(message: ToWorker): void {
    this.sent.push(message);
  }

  terminate(): void {
    this.ended = true;
  }

  say(message: FromWorker): void {
    this.onmessage?.({ data: message });
  }

  /** The id of the last request. */
  get id(): number {
    const last = this.sent.at(-1);
    if (last === undefined || 'module' in last || last.id === null) throw new Error('nothing was asked');
    return last.id;
  }
}

function hosted(mostTraps: number) {
  const workers: FakeWorker[] = [];
  const host = new WorkerHost<Calls>(() => {
    const worker = new FakeWorker();
    workers.push(worker);
    return worker as unknown as Worker;
  }, mostTraps);
  const stops: [string, boolean][] = [];
  host.stopped = (why, again) => stops.push([why, again]);
  host.begun = () => host.tell('note', 'begun');
  return { host, workers, stops, worker: (): FakeWorker => workers.at(-1)! };
}

test('the module goes first, then what a fresh instance needs', () => {
  const { host, workers, worker } = hosted(2);
  host.load();
  host.begin(MODULE);
  expect(workers.length).toBe(1);
  expect(worker().sent).toEqual([{ module: MODULE }, { id: null, name: 'note', given: 'begun' }]);
});

test('answers match their requests in any order, and progress is passed on', async () => {
  const { host, worker } = hosted(2);
  host.begin(MODULE);
  const steps: string[] = [];
  const one = host.ask('double', 1, { progress: (step) => steps.push(step) });
  const first = worker().id;
  const two = host.ask('double', 2);
  const second = worker().id;
  worker().say({ kind: 'progress', id: first, value: 'half' });
  worker().say({ kind: 'answer', id: second, value: 4 });
  worker().say({ kind: 'answer', id: first, value: 2 });
  expect(await Promise.all([one, two])).toEqual([2, 4]);
  expect(steps).toEqual(['half']);
});

test('a refusal by the module rejects with its faults, and the worker continues', async () => {
  const { host, worker, stops } = hosted(1);
  host.begin(MODULE);
  const asked = host.ask('double', 1);
  worker().say({ kind: 'refused', id: worker().id, faults: [{ path: 'at', expected: 'an hour', found: 'none' }] });
  await expect(asked).rejects.toBeInstanceOf(SceneFaults);
  expect(host.alive).toBe(true);
  expect(stops).toEqual([]);
});

test('a trap starts a fresh instance; one trap too many does not', async () => {
  const { host, workers, worker, stops } = hosted(2);
  host.begin(MODULE);
  const asked = host.ask('double', 1);
  worker().say({ kind: 'trapped', message: 'unreachable' });
  await expect(asked).rejects.toBeInstanceOf(Trapped);
  expect(workers.map((one) => one.ended)).toEqual([true, false]);
  expect(worker().sent.length).toBe(2);
  worker().onerror?.({ message: 'again' });
  expect(stops).toEqual([
    ['unreachable', true],
    ['again', false],
  ]);
  expect(host.alive).toBe(false);
  await expect(host.ask('double', 1)).rejects.toBeInstanceOf(Trapped);
  // The user can try once more.
  host.revive();
  expect(workers.length).toBe(3);
  worker().say({ kind: 'trapped', message: 'third' });
  expect(stops.at(-1)).toEqual(['third', false]);
});

test('after an answer, the next trap counts as the first', async () => {
  const { host, worker, stops } = hosted(2);
  host.begin(MODULE);
  worker().say({ kind: 'trapped', message: 'one' });
  const asked = host.ask('double', 1);
  worker().say({ kind: 'answer', id: worker().id, value: 2 });
  await asked;
  worker().say({ kind: 'trapped', message: 'two' });
  expect(stops.map(([, again]) => again)).toEqual([true, true]);
});

test('messages from a stopped worker are ignored', () => {
  const { host, worker, stops } = hosted(2);
  host.begin(MODULE);
  const old = worker();
  let settled = false;
  void host.ask('double', 1).finally(() => (settled = true));
  const { id } = old;
  host.stop();
  old.say({ kind: 'answer', id, value: 2 });
  old.say({ kind: 'trapped', message: 'late' });
  expect([old.ended, host.alive, settled, stops.length]).toEqual([true, false, false, 0]);
});

test('a lasting worker is kept until it traps or is stopped', async () => {
  const workers: FakeWorker[] = [];
  const lasting = new Lasting<Calls>(
    () => Promise.resolve(MODULE),
    () => {
      const worker = new FakeWorker();
      workers.push(worker);
      return worker as unknown as Worker;
    },
  );
  const double = async (number: number): Promise<{ answer: Promise<number>; worker: FakeWorker }> => {
    const answer = lasting.ask((host) => host.ask('double', number));
    // The module has to arrive first.
    await Promise.resolve();
    return { answer, worker: workers.at(-1)! };
  };
  const one = await double(1);
  one.worker.say({ kind: 'answer', id: one.worker.id, value: 2 });
  expect(await one.answer).toBe(2);
  const two = await double(2);
  expect(workers.length).toBe(1);
  two.worker.say({ kind: 'trapped', message: 'unreachable' });
  await expect(two.answer).rejects.toBeInstanceOf(Trapped);
  const three = await double(3);
  expect(workers.length).toBe(2);
  lasting.stop();
  expect(three.worker.ended).toBe(true);

  // Stopped before the module has arrived: no worker is started for it.
  void lasting.ask((host) => host.ask('double', 4));
  lasting.stop();
  await Promise.resolve();
  expect(workers.length).toBe(2);
});

test('a module that cannot be fetched rejects, but not after a stop', async () => {
  let fail: (error: Error) => void = () => undefined;
  const compiled = (): Promise<WebAssembly.Module> => new Promise((_, reject) => (fail = reject));
  const make = (): Worker => new FakeWorker() as unknown as Worker;
  const heard = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));
  const lasting = new Lasting<Calls>(compiled, make);
  const work = throwaway<Calls>(compiled, make);
  for (const stops of [false, true]) {
    const errors: unknown[] = [];
    const asked = lasting.ask((host) => host.ask('double', 1));
    const failLasting = fail;
    const working = work((host) => host.ask('double', 1));
    for (const one of [asked, working.done]) one.catch((error: unknown) => errors.push(error));
    if (stops) {
      lasting.stop();
      working.stop();
    }
    failLasting(new Error('offline'));
    fail(new Error('offline'));
    await heard();
    expect(errors.length, stops ? 'after a stop' : 'without a stop').toBe(stops ? 0 : 2);
  }
});
