// Updates the pieces of windows after an action.
import type { ChangedWindow, PieceShape, WindowShapes } from './contract';

/**
 * Updates the pieces of windows in place after an action. Returns false if a piece remains unknown; then all of them
 * must be read.
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
