import { expect, test } from 'vitest';
import type { PieceShape, WindowShapes } from '../../src/engine/contract';
import { followPieces } from '../../src/engine/pieces';

const piece = (id: number): PieceShape => ({ id, glass: 'amber', path: `M${id} 0Z`, centre_mm: [id, 0] });
const ids = (windows: WindowShapes[]): number[] => windows[0]?.pieces.map(({ id }) => id) ?? [];

test('unchanged pieces move with their runs, the others come from the answer', () => {
  const windows: WindowShapes[] = [{ opening: 'M0 0Z', pieces: [1, 2, 3, 4, 5].map(piece) }];
  const [, , , fourth] = windows[0]?.pieces ?? [];
  followPieces(windows, [
    {
      index: 0,
      opening: 'M1 1Z',
      count: 4,
      kept: [
        [0, 0, 1],
        [2, 3, 2],
      ],
      pieces: [{ index: 1, piece: piece(9) }],
    },
  ]);
  expect(ids(windows)).toEqual([1, 9, 4, 5]);
  expect(windows[0]?.opening).toBe('M1 1Z');
  expect(windows[0]?.pieces[2]).toBe(fourth);
  followPieces(windows, []);
  expect(ids(windows)).toEqual([1, 9, 4, 5]);
});

test('an answer that leaves a piece unknown is rejected', () => {
  const windows: WindowShapes[] = [{ opening: '', pieces: [piece(1)] }];
  const short = { index: 0, opening: '', count: 3, kept: [[0, 0, 1] as [number, number, number]], pieces: [] };
  expect(followPieces(windows, [short])).toBe(false);
  expect(ids(windows)).toEqual([1]);
});
