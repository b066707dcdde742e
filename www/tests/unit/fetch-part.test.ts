// Parts of the page that are fetched later may be gone from the server.
import { afterEach, expect, test, vi } from 'vitest';
import { NotFetched, fetchDemo } from '../../src/engine/demos';
import { Outdated } from '../../src/engine/fetch-part';

afterEach(() => {
  vi.unstubAllGlobals();
});

const answer = (status: number): void => {
  vi.stubGlobal('fetch', async () => new Response('{}', { status }));
};

test('a part that the server no longer has asks for a reload', async () => {
  answer(404);
  const refused = await fetchDemo('small-rose').catch((error: unknown) => error);
  expect(refused).toBeInstanceOf(Outdated);
  expect((refused as Error).message).toContain('reload');
});

test('a server in trouble or a missing network is no reason to reload', async () => {
  answer(503);
  await expect(fetchDemo('small-rose')).rejects.toThrow(NotFetched);
  vi.stubGlobal('fetch', () => Promise.reject(new TypeError('Failed to fetch')));
  await expect(fetchDemo('small-rose')).rejects.toThrow('Failed to fetch');
});

test('a demo that there is not is never fetched', async () => {
  vi.stubGlobal('fetch', () => Promise.reject(new Error('it was fetched')));
  await expect(fetchDemo('no-such-demo')).rejects.toThrow('there is no demo “no-such-demo”');
});
