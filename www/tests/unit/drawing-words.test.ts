// What the page says about a drawing for a new window.
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { isDrawing } from '../../src/engine/bytes';
import { asksWidth, joinedWords, nameOf, refusal, roleOf, toLookAt } from '../../src/state/drawing-words';

const ofCrate = (name: string): string => {
  const source = readFileSync(new URL('../../../crate/new_window/src/fault.rs', import.meta.url), 'utf8');
  return new RegExp(`pub const ${name}: &str = "(.*)";`).exec(source)?.[1] ?? '';
};

test('a missing width is asked for, an impossible one is refused as well', () => {
  const path = ofCrate('WIDTH');
  const missing = [{ path, expected: 'the real width of the window', found: ofCrate('NO_WIDTH') }];
  expect(asksWidth(missing)).toBe(true);
  expect(refusal(missing)).toEqual([]);
  const large = [{ path, expected: 'a window of at most 20 000 mm', found: '40000 by 3 mm' }];
  expect(asksWidth(large)).toBe(true);
  expect(refusal(large)).toEqual(['Expected a window of at most 20 000 mm; found 40000 by 3 mm.']);
});

test('another refusal asks for nothing', () => {
  const faults = [{ path: '', expected: 'an SVG file', found: 'none' }];
  expect(asksWidth(faults)).toBe(false);
  expect(refusal(faults)).toEqual(['Expected an SVG file; found none.']);
});

test('a window is called after its file', () => {
  expect(nameOf('north aisle.svg')).toBe('north aisle');
  expect(nameOf('aisle.v2.SVG')).toBe('aisle.v2');
  expect(nameOf('.svg')).toBe('New window');
});

test('a layer is shown as asked for until it has been read', () => {
  const layer = { name: 'saddle', taken_as: 'ignored', groups: [2, 4] } as const;
  const asked = { ...layer, groups: [...layer.groups] };
  expect(roleOf(asked, new Map())).toBe('ignored');
  expect(roleOf(asked, new Map([[2, 'bars']]))).toBe('bars');
  expect(roleOf({ ...asked, groups: [] }, new Map([[2, 'bars']]))).toBe('ignored');
});

test('a drawing is told by its name or its type', () => {
  expect(isDrawing({ name: 'A.SVG', type: '' })).toBe(true);
  expect(isDrawing({ name: 'drawing', type: 'image/svg+xml' })).toBe(true);
  expect(isDrawing({ name: 'svg.json', type: 'application/json' })).toBe(false);
});

test('what was joined is counted and needs no look', () => {
  const place = (kind: 'joined' | 'near_miss') => ({ kind, at_mm: [1, 2] as [number, number], words: kind });
  const [joined, missed] = [place('joined'), place('near_miss')];
  expect(toLookAt([joined, missed, joined])).toEqual([missed]);
  expect(joinedWords([missed])).toBeNull();
  expect(joinedWords([joined, missed])).toMatch(/^One line /);
  expect(joinedWords([joined, missed, joined])).toMatch(/^2 lines /);
});
