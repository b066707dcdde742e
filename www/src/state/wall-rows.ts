// What walls and leads with depth take of the light, as rows of the reading.
import type { WallReport } from '../engine/contract';
import { share } from './numbers';

type Taken = Pick<WallReport, 'window' | 'overcast_taken'>;
type Row = { name: string; text: string };

/** One for each window; it is named if there are several. */
const rows = (what: string, taken: readonly Taken[]): Row[] =>
  taken.map(({ window, overcast_taken }) => ({
    name: taken.length === 1 ? `Light ${what} (overcast)` : `“${window}”: light ${what} (overcast)`,
    text: share(overcast_taken),
  }));

/** One for each window in a wall with depth, and one for each with leads that have depth. */
export const wallRows = (walls: readonly Taken[], leads: readonly Taken[]): Row[] => [
  ...rows('the wall takes', walls),
  ...rows('the leads’ depth takes', leads),
];
