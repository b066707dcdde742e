// What is said after a copied make-up has been applied: to how many pieces, and what became of what is drawn.
import type { Changed } from '../engine/contract';

type Counts = Pick<Changed, 'pieces' | 'strokes_kept' | 'strokes_left_out'>;

/** `from`: the piece that the make-up was copied from. */
export function copiedWords({ pieces, strokes_kept: kept, strokes_left_out: left }: Counts, from: number): string {
  const all = pieces === 1 ? 'it' : 'them';
  const of = (count: number): string => (count === pieces ? all : `${count} of them`);
  const sentences = [
    pieces === 1
      ? `One piece now has the make-up of piece ${from}.`
      : `${pieces} pieces now have the make-up of piece ${from}.`,
  ];
  if (kept > 0) sentences.push(`What is drawn on ${of(kept)} stays.`);
  if (left > 0) {
    const where = left === pieces ? 'there' : `on ${left} of them`;
    sentences.push(
      `The lines drawn on piece ${from} were not copied; ${where} the paint lies evenly over the same share.`,
    );
  }
  return [...sentences, 'One undo reverses it.'].join(' ');
}
