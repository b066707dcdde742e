import { expect, test } from 'vitest';
import { wallRows } from '../../src/state/wall-rows';

test('walls and leads say what they take; several are told apart', () => {
  const west = { window: 'west', overcast_taken: 0.384 };
  expect(wallRows([], [])).toEqual([]);
  expect(wallRows([west], [])).toEqual([{ name: 'Taken by the wall, if overcast', text: '38%' }]);
  expect(wallRows([], [west])).toEqual([{ name: 'Taken by the depth of the leads, if overcast', text: '38%' }]);
  expect(wallRows([west, { window: 'rose', overcast_taken: 0.1 }], []).map(({ name }) => name)).toEqual([
    'Taken by the wall of “west”, if overcast',
    'Taken by the wall of “rose”, if overcast',
  ]);
});
