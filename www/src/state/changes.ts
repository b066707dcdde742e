// What an action has changed of the scene, as the module says it: the one account by which everything on the page
// decides what to ask for anew.
import type { ChangeSet } from '../engine/contract';

/** Of another scene, everything. */
export type Changes = ChangeSet | 'everything';

const outside = ({ site, sky, ground, horizon }: ChangeSet): boolean =>
  site !== undefined || sky === true || ground === true || horizon === true;

/** Whether the light at the viewing position is another one at the same hour, so that day and year are out of date. */
export const changesLight = (changes: Changes): boolean =>
  changes === 'everything' ||
  outside(changes) ||
  changes.places === true ||
  changes.room !== undefined ||
  changes.windows !== undefined ||
  changes.glasses !== undefined;

/** Whether the place and light of the windows, or what is doubtful about them, are to be read again. */
export const changesSurroundings = (changes: Changes): boolean =>
  changes === 'everything' ||
  outside(changes) ||
  changes.at !== undefined ||
  changes.room !== undefined ||
  Object.values(changes.windows ?? {}).some(
    (window) => window.placement === true || window.drawing === true || window.sight_size === true,
  );

/** Whether the section of the chosen pieces, in the light of the hour, is to be read again. */
export const changesSection = (changes: Changes): boolean =>
  changes === 'everything' ||
  outside(changes) ||
  changes.at !== undefined ||
  changes.room !== undefined ||
  changes.windows !== undefined ||
  changes.glasses !== undefined;
