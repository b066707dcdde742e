// Moves from piece to piece by the arrow keys.
import type { PieceOutline } from '../engine/contract';

export type Step = 'left' | 'right' | 'up' | 'down';

const TOWARD: Record<Step, readonly [number, number]> = {
  left: [-1, 0],
  right: [1, 0],
  up: [0, -1],
  down: [0, 1],
};

/** A distance sideways counts this many times a distance ahead. */
const ASIDE = 2.2;

/** The nearest piece in that direction; null at the edge. */
export function pieceToward(pieces: readonly PieceOutline[], from: number, step: Step): number | null {
  const start = pieces.find((piece) => piece.id === from);
  if (start === undefined) return null;
  const [dx, dy] = TOWARD[step];
  let best: number | null = null;
  let least = Infinity;
  for (const piece of pieces) {
    if (piece.id === from) continue;
    const x = piece.centre_mm[0] - start.centre_mm[0];
    const y = piece.centre_mm[1] - start.centre_mm[1];
    const ahead = x * dx + y * dy;
    const aside = Math.abs(x * dy) + Math.abs(y * dx);
    if (ahead <= 0 || aside > 2 * ahead) continue;
    const cost = ahead + ASIDE * aside;
    if (cost < least) [best, least] = [piece.id, cost];
  }
  return best;
}

/** The piece where the keys start: the one nearest the middle of the window. */
export function pieceInTheMiddle(pieces: readonly PieceOutline[], width: number, height: number): number | null {
  let best: number | null = null;
  let least = Infinity;
  for (const piece of pieces) {
    const distance = Math.hypot(piece.centre_mm[0] - width / 2, piece.centre_mm[1] - height / 2);
    if (distance < least) [best, least] = [piece.id, distance];
  }
  return best;
}
