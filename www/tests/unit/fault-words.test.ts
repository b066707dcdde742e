import { expect, test } from 'vitest';
import { faultPlace } from '../../src/state/fault-words';

test.each([
  ['horizon.own_building.height_m', 'Height of this building’s wall'],
  ['horizon.floor_above_ground_m', 'Floor above ground'],
  ['horizon.blocks[1].to_m', 'House or wall 2, right end'],
  ['', 'The file'],
  // The page has no field for these.
  ['horizon.blocks[1].reflectance', 'horizon.blocks[1].reflectance'],
  ['windows[0].pieces[2]', 'windows[0].pieces[2]'],
])('a fault at %j is at %j', (path, place) => {
  expect(faultPlace(path)).toBe(place);
});
