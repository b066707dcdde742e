// What the page says about a drawing for a new window.
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { isDrawing } from '../../src/engine/bytes';
import { asksWidth, joinedWords, lacksWidth, nameOf, refusal, roleOf, toLookAt } from '../../src/state/drawing-words';

const ofCrate = (name: string): string => {
  const source = readFileSync(new URL('../../../crate/new_window/src/fault.rs', import.meta.url), 'utf8');
  return new RegExp(`pub const ${name}: &str = "(.*)";`).exec(source)?.[1] ?? '';
};

test('a missing width is asked for, an impossible one is refused as well', () => {
  const path = ofCrate('WIDTH');
  const missing = [{ path, expected: 'the real width of the window', found: ofCrate('NO_WIDTH') }];
  expect([asksWidth(missing), lacksWidth(missing)]).toEqual([true, true]);
  expect(refusal(missing, false, String)).toEqual([]);
  const large = [{ path, expected: 'a window of at most 20 000 mm', found: '40000 by 3 mm' }];
  expect([asksWidth(large), lacksWidth(large)]).toEqual([true, false]);
  expect(refusal(large, true, String)).toEqual(['Expected a window of at most 20 000 mm; found 40000 by 3 mm.']);
});

test('another refusal asks for nothing', () => {
  const faults = [{ path: '', expected: 'an SVG file', found: 'none' }];
  expect(asksWidth(faults)).toBe(false);
  expect(refusal(faults, false, String)).toEqual(['Expected an SVG file; found none.']);
  expect(refusal(faults, false, (words) => words.toUpperCase())).toEqual(['EXPECTED AN SVG FILE; FOUND NONE.']);
});

test('without an edge, layers are pointed to only where they are listed', () => {
  const source = readFileSync(new URL('../../../crate/new_window/src/fault.rs', import.meta.url), 'utf8');
  const expected = /"(a closed line around the window[^"]*)"/.exec(source)?.[1] ?? '';
  const faults = [{ path: '', expected, found: 'none' }];
  expect(refusal(faults, true, String)).toEqual([
    'Expected a closed line around the window: take the layer that has it as the edge; found none.',
  ]);
  expect(refusal(faults, false, String)).toEqual([
    'Expected a closed line around the window: close it in the drawing program, or name its layer “outline” there, ' +
      'and choose the file again; found none.',
  ]);
  // What the reason says already is not said twice.
  const lines = readFileSync(new URL('../../../crate/drawing_io/src/leads.rs', import.meta.url), 'utf8');
  const found = `none: ${/let why = "([^"]*)"/.exec(lines)?.[1]}`;
  expect(refusal([{ path: '', expected, found }], false, String)).toEqual([
    'Expected a closed line around the window; found none: the lines do not enclose anything; ' +
      "close the window's edge, or name its layer outline.",
  ]);
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
