// The limits that the page repeats are those of the scene format.
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { MOST_ATTACHED_BYTES, MOST_ATTACHMENTS, MOST_ATTACHMENT_BYTES, tooMuch } from '../../src/engine/limits';

test('the limits are those of the scene format', () => {
  const source = readFileSync(new URL('../../../crate/scene/src/document/attachment.rs', import.meta.url), 'utf8');
  const valueOf = (name: string): number => {
    const [, value = '', shift = '0'] =
      new RegExp(`pub const ${name}: \\w+ = (\\d+)(?: << (\\d+))?;`).exec(source) ?? [];
    return Number(value) * 2 ** Number(shift);
  };
  expect(valueOf('MOST_ATTACHMENTS')).toBe(MOST_ATTACHMENTS);
  expect(valueOf('MOST_ATTACHMENT_BYTES')).toBe(MOST_ATTACHMENT_BYTES);
  expect(valueOf('MOST_ATTACHED_BYTES')).toBe(MOST_ATTACHED_BYTES);
});

test('of five files of 60 MB the first four fit', () => {
  const bytes = 60 * 2 ** 20;
  const attached = Array.from({ length: 4 }, () => ({ bytes }));
  expect(tooMuch(attached.slice(1), bytes)).toBeNull();
  expect(tooMuch(attached, bytes)).toContain('268.4 MB at most');
  expect(tooMuch(attached, 16 * 2 ** 20)).toBeNull();
  expect(tooMuch(Array(MOST_ATTACHMENTS).fill({ bytes: 1 }), 1)).toContain('256 attachments');
});
