import { expect, test } from 'vitest';
import { refusalWords } from '../../src/state/refusal-words';

test('a refusal is of the field, or of the viewing position that stands in the way', () => {
  const splay = { path: 'windows[0].wall', expected: 'less splay', found: 'sides that meet' };
  const place = { path: 'places[1].distance_m', expected: 'at least 0.55 m', found: '0.3' };
  expect(refusalWords([splay], 'Jambs', [])).toBe('Jambs: expected less splay; found sides that meet.');
  expect(refusalWords([place, splay], 'Depth', ['bench', 'door'])).toBe(
    'Viewing position “door”: expected at least 0.55 m; found 0.3. Depth: expected less splay; found sides that meet.',
  );
  // Another field that stands in the way.
  const wall = { path: 'horizon.own_building.height_m', expected: 'at least 43 m', found: '6' };
  expect(refusalWords([wall], 'Floor above ground', [])).toBe(
    'Height of this building’s wall: expected at least 43 m; found 6.',
  );
  // A position that the page does not know.
  expect(refusalWords([place], 'Depth', ['bench'])).toBe('Depth: expected at least 0.55 m; found 0.3.');
});
