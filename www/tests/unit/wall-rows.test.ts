import { expect, test } from 'vitest';
import { wallRows } from '../../src/state/wall-rows';

test('walls and leads say what they take; several are told apart', () => {
  const west = { window: 'west', overcast_taken: 0.384 };
  expect(wallRows([], [])).toEqual([]);
  expect(wallRows([west], [])).toEqual([{ name: 'Light the wall takes (overcast)', text: '38%' }]);
  expect(wallRows([], [west])).toEqual([{ name: 'Light the leads’ depth takes (overcast)', text: '38%' }]);
  expect(wallRows([west, { window: 'rose', overcast_taken: 0.1 }], []).map(({ name }) => name)).toEqual([
    '“west”: light the wall takes (overcast)',
    '“rose”: light the wall takes (overcast)',
  ]);
});
