// What decides about attachments without a browser: which content a text names, what an action touches, which form a
// file has.
import { expect, test } from 'vitest';
import { hashesIn } from '../../src/engine/attachment-store';
import { touchesOnlyAttachments } from '../../src/engine/attached';
import { beginsAsJson, bytesInWords, limitInWords } from '../../src/engine/bytes';
import type { ChangeSet } from '../../src/engine/contract';
import { changesLight, changesSection, changesSurroundings } from '../../src/state/changes';

const A = 'a1'.repeat(32);
const B = '0f'.repeat(32);
const attached: ChangeSet = {
  attachments: { [A]: { name: 'wall.jpg', kind: 'photograph', change: 'attached' } },
};

test('a text names every hash in it, however deep it lies', () => {
  const record = { scene: { attachments: { [A]: { name: 'wall.jpg' } } }, undo: [{ back: { hash: B } }] };
  expect([...hashesIn(JSON.stringify({ kept: JSON.stringify(record) }))].sort()).toEqual([B, A].sort());
  expect([...hashesIn(`${A.slice(1)} ${A}0 ${A.toUpperCase()}`)]).toEqual([]);
});

test('attachments touch neither light nor what is read of it', () => {
  expect([changesLight, changesSection, changesSurroundings].map((of) => of(attached))).toEqual([false, false, false]);
  expect(touchesOnlyAttachments(attached)).toBe(true);
  expect(touchesOnlyAttachments({ ...attached, note: true })).toBe(false);
  expect(touchesOnlyAttachments({})).toBe(false);
});

test('a scene in JSON is told by its first bytes', async () => {
  for (const [start, json] of [
    ['{"clerestory"', true],
    ['\ufeff\r\n {', true],
    ['', true],
    [' '.repeat(2000), true],
    ['PK\u0003\u0004', false],
    ['<svg', false],
    ['[1]', false],
  ] as const) {
    expect(await beginsAsJson(new Blob([start])), start).toBe(json);
  }
});

test('lengths are said in the unit that they have', () => {
  expect([1, 999, 1000, 1401, 2e6, 64 * 2 ** 20].map(bytesInWords)).toEqual([
    '1 byte',
    '999 bytes',
    '1 kB',
    '1.5 kB',
    '2 MB',
    '67.2 MB',
  ]);
  expect([1000, 64 * 2 ** 20, 256 * 2 ** 20].map(limitInWords)).toEqual(['1 kB', '67.1 MB', '268.4 MB']);
});
