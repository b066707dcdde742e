// The pieces of windows, kept in step with what actions change of them.
import type { ChangedWindow, PieceShape, WindowShapes } from './contract';

/**
 * Takes the pieces of windows from what they were before an action to what they are now, in place. False where a piece
 * stays unknown: then all of them are to be read.
 */
export function followPieces(windows: WindowShapes[], changed: readonly ChangedWindow[]): boolean {
  for (const { index, opening, count, kept, pieces } of changed) {
    const before = windows[index]?.pieces ?? [];
    const now = new Map<number, PieceShape>(pieces.map((one) => [one.index, one.piece]));
    for (const [at, was, length] of kept) {
      before.slice(was, was + length).forEach((piece, i) => now.set(at + i, piece));
    }
    const all = Array.from({ length: count }, (_, i) => now.get(i)).filter((piece) => piece !== undefined);
    if (all.length !== count) return false;
    windows[index] = { opening, pieces: all };
  }
  return true;
}
