// What the walls around the windows take of the light, as rows of the reading.
import type { WallReport } from '../engine/contract';
import { share } from './numbers';

type Taken = Pick<WallReport, 'window' | 'overcast_taken'>;

/** One for each window in a wall with depth; the window is named if there are several. */
export const wallRows = (walls: readonly Taken[]): { name: string; text: string }[] =>
  walls.map(({ window, overcast_taken }) => ({
    name: walls.length === 1 ? 'Taken by the wall, if overcast' : `Taken by the wall of “${window}”, if overcast`,
    text: share(overcast_taken),
  }));
