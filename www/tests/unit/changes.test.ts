// What an action has changed, and what is asked for anew because of it.
import { expect, test } from 'vitest';
import {
  EVERYTHING,
  NOTHING,
  changesLight,
  changesOf,
  changesSection,
  changesSurroundings,
  type ChangeSet,
} from '../../src/state/changes';

const parts = (changes: ChangeSet): string[] =>
  Object.entries(changes).flatMap(([part, changed]) => (changed === true ? [part] : []));

const edited = (edit: object): ChangeSet => changesOf(JSON.stringify(edit), 'edit');

test('an edit changes what it names', () => {
  const cases: [object, string[]][] = [
    [{ edit: 'set_name', name: 'A' }, ['words']],
    [{ edit: 'set_at', at: '2026-11-25T15:00' }, ['at']],
    [{ edit: 'set_sky', sky: {} }, ['light']],
    [{ edit: 'set_makeup', window: 'w', piece: 1, makeup: {} }, ['pieces']],
    [{ edit: 'together', edits: [] }, []],
    [
      { edit: 'together', edits: [{ edit: 'set_room' }, { edit: 'together', edits: [{ edit: 'set_note' }] }] },
      ['words', 'room'],
    ],
  ];
  for (const [edit, expected] of cases) expect(parts(edited(edit)).sort()).toEqual([...expected].sort());
});

test('an edit that the page does not know may have changed anything', () => {
  expect(edited({ edit: 'set_moon' })).toEqual(EVERYTHING);
});

test('an action on the variants, and a step in the history, may change them whatever their edits are', () => {
  for (const action of ['vary', 'step'] as const) {
    expect(parts(changesOf('{"edit": "together", "edits": []}', action))).toEqual(['variants']);
  }
});

test('day and year hold when only words, viewer or hour change', () => {
  for (const edit of ['set_name', 'set_note', 'set_viewer', 'set_at'])
    expect(changesLight(edited({ edit })), edit).toBe(false);
  for (const edit of ['set_sky', 'set_room', 'set_places', 'set_makeup', 'set_protective_glazing']) {
    expect(changesLight(edited({ edit })), edit).toBe(true);
  }
});

test('surroundings and section are read again only where they are touched', () => {
  expect([changesSurroundings(NOTHING), changesSection(NOTHING)]).toEqual([false, false]);
  expect(changesSurroundings(edited({ edit: 'set_makeup' }))).toBe(false);
  expect(changesSurroundings(edited({ edit: 'set_ground' }))).toBe(true);
  // The section is in the light of the hour; the room does not stand before the glass, but it turns with it.
  expect(changesSection(edited({ edit: 'set_viewer' }))).toBe(false);
  for (const edit of ['set_at', 'set_room', 'set_makeup']) expect(changesSection(edited({ edit })), edit).toBe(true);
});
