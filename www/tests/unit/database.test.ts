// Opening a database while other tabs hold it up, and losing the connection.
import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import { Blocked, openDatabase } from '../../src/engine/database';

class Database {
  closed = false;
  onversionchange: (() => void) | null = null;
  onclose: (() => void) | null = null;
  close(): void {
    this.closed = true;
  }
}

class Request {
  result = new Database();
  error: Error | null = null;
  onblocked: (() => void) | null = null;
  onsuccess: (() => void) | null = null;
  onerror: (() => void) | null = null;
}

let request: Request;

beforeEach(() => {
  vi.useFakeTimers();
  request = new Request();
  vi.stubGlobal('indexedDB', { open: () => request });
});
afterEach(() => {
  vi.useRealTimers();
  vi.unstubAllGlobals();
});

const opened = (lost: (why: string) => void = () => undefined): Promise<unknown> =>
  openDatabase('test', 2, () => undefined, lost);

test('a page that other tabs hold up goes on without storage and closes the late connection', async () => {
  const database = opened();
  const refused = expect(database).rejects.toBeInstanceOf(Blocked);
  request.onblocked?.();
  await vi.advanceTimersByTimeAsync(2500);
  await refused;
  request.onsuccess?.();
  expect(request.result.closed).toBe(true);
});

test('a tab that closes in time holds up nothing', async () => {
  const database = opened();
  request.onblocked?.();
  await vi.advanceTimersByTimeAsync(500);
  request.onsuccess?.();
  expect(await database).toBe(request.result);
  await vi.advanceTimersByTimeAsync(5000);
  expect(request.result.closed).toBe(false);
});

test('a lost connection says why', async () => {
  const why: string[] = [];
  const database = opened((cause) => why.push(cause));
  request.onsuccess?.();
  await database;
  request.result.onclose?.();
  request.result.onversionchange?.();
  expect(why).toEqual(['closed by the browser', 'newer page']);
  expect(request.result.closed).toBe(true);
});
