import { expect, test } from 'vitest';
import { copiedWords } from '../../src/state/copied-words';

const words = (pieces: number, strokes_kept: number, strokes_left_out: number): string =>
  copiedWords({ pieces, strokes_kept, strokes_left_out }, 12);

test('says to how many pieces a make-up went, and nothing of drawing where there is none', () => {
  expect(words(1, 0, 0)).toBe('One piece now has the make-up of piece 12. One undo reverses it.');
  expect(words(3, 0, 0)).toBe('3 pieces now have the make-up of piece 12. One undo reverses it.');
});

test('says what becomes of what is drawn', () => {
  expect(words(1, 1, 0)).toContain('What is drawn on it stays.');
  expect(words(3, 3, 0)).toContain('What is drawn on them stays.');
  expect(words(1, 0, 1)).toContain('were not copied; there the paint lies evenly over the same share.');
  expect(words(3, 2, 1)).toContain('What is drawn on 2 of them stays.');
  expect(words(3, 2, 1)).toContain('The lines drawn on piece 12 were not copied; on 1 of them the paint lies evenly');
});
