// What is requested again after an action.
import { expect, test } from 'vitest';
import type { ChangeSet } from '../../src/engine/contract';
import { changesLight, changesLines, changesSection, changesSurroundings } from '../../src/state/changes';

const glass: ChangeSet = { windows: { west: { makeups: { 4: glassOnly() } } } };
const line: ChangeSet = { windows: { west: { lines: [12] } } };
const opening: ChangeSet = { windows: { west: { sight_size: true } } };
const wall: ChangeSet = { windows: { west: { wall: true } } };
const room: ChangeSet = { room: { size: false, facing: true, surfaces: false } };
const site: ChangeSet = { site: { position: false, elevation: false, time_zone: true } };

function glassOnly() {
  return { plating: false, glass: true, thickness: false, flash: false, sheet: false, paint: false };
}

test('day and year stay valid when only names, viewer, hour or variants change', () => {
  for (const changes of [{}, { name: true }, { note: true }, { viewer: true }, { at: 'hour' }, { variants: true }]) {
    expect(changesLight(changes as ChangeSet), JSON.stringify(changes)).toBe(false);
  }
  const places: ChangeSet[] = [{ places: true }, { working_planes: true }];
  const anew = [{ sky: true }, { ground: true }, { horizon: true }, ...places, room, site, glass, line, wall];
  for (const changes of [...anew, { glasses: { attic: 'Attic' } }]) {
    expect(changesLight(changes), JSON.stringify(changes)).toBe(true);
  }
});

test('surroundings and section are read again only if they are touched', () => {
  expect([changesSurroundings({}), changesSection({})]).toEqual([false, false]);
  for (const changes of [glass, line, { viewer: true }]) expect(changesSurroundings(changes)).toBe(false);
  for (const changes of [opening, wall, room, site, { ground: true }]) expect(changesSurroundings(changes)).toBe(true);
  // The section is in the light of the hour. The size of the room does not affect it, but its bearing does.
  for (const changes of [{ viewer: true }, { name: true }]) expect(changesSection(changes)).toBe(false);
  for (const changes of [{ at: 'date' } as ChangeSet, room, glass, line]) expect(changesSection(changes)).toBe(true);
});

test('lines are checked again only if they or the opening change', () => {
  for (const changes of [line, opening, { windows: { west: { drawing: true } } }]) {
    expect(changesLines(changes)).toBe(true);
  }
  for (const changes of [{}, glass, room, { windows: { west: { bars: true } } }]) {
    expect(changesLines(changes)).toBe(false);
  }
});

test('everything is read of another scene', () => {
  const all = [changesLight, changesLines, changesSurroundings, changesSection];
  expect(all.map((of) => of('everything'))).toEqual(all.map(() => true));
});
