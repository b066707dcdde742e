// What an action changed in the scene, as reported by the module. Everything on the page decides from this what to read
// or compute again.
import type { ChangeSet } from '../engine/contract';

/** For another scene, everything. */
export type Changes = ChangeSet | 'everything';

const outside = ({ site, sky, ground, horizon }: ChangeSet): boolean =>
  site !== undefined || sky === true || ground === true || horizon === true;

/** Whether the light at the viewing position changes at the same hour, so that day and year are out of date. */
export const changesLight = (changes: Changes): boolean =>
  changes === 'everything' ||
  outside(changes) ||
  changes.places === true ||
  changes.working_planes === true ||
  changes.room !== undefined ||
  changes.windows !== undefined ||
  changes.glasses !== undefined;

/** Whether the surroundings or their cautions must be read again. */
export const changesSurroundings = (changes: Changes): boolean =>
  changes === 'everything' ||
  outside(changes) ||
  changes.at !== undefined ||
  changes.room !== undefined ||
  Object.values(changes.windows ?? {}).some(
    (window) =>
      window.placement === true || window.wall === true || window.drawing === true || window.sight_size === true,
  );

/** Whether the lines of a window must be checked again. */
export const changesLines = (changes: Changes): boolean =>
  changes === 'everything' ||
  Object.values(changes.windows ?? {}).some(
    (window) => window.drawing === true || window.sight_size === true || window.lines !== undefined,
  );

/** Whether the section of the selected pieces, in the light of the hour, must be read again. */
export const changesSection = (changes: Changes): boolean =>
  changes === 'everything' ||
  outside(changes) ||
  changes.at !== undefined ||
  changes.room !== undefined ||
  changes.windows !== undefined ||
  changes.glasses !== undefined;
