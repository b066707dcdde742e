// Where a new window stands: what is told of it, and what is assumed.
import { expect, test } from 'vitest';
import { ASSUMED, noting, siteOf, siteToTell } from '../../src/state/stands';

const USUAL = { latitude_deg: 51.5, longitude_deg: 0, elevation_m: 20, time_zone: 'Europe/London' };
const POSITION = { latitude_deg: 38.7, longitude_deg: -9.1, elevation_m: 5 };
const ZONE = 'Europe/Lisbon';

test('position and time zone are assumed apart', () => {
  expect(siteToTell(ASSUMED, USUAL)).toBeNull();
  expect(siteOf(ASSUMED, USUAL)).toEqual(USUAL);
  expect(siteToTell({ ...ASSUMED, position: POSITION }, USUAL)).toEqual({ ...POSITION, time_zone: 'Europe/London' });
  expect(siteToTell({ ...ASSUMED, timeZone: ZONE }, USUAL)).toEqual({ ...USUAL, time_zone: ZONE });
});

test('the note lists the half of the site that was assumed', () => {
  const noteOf = (stands: Partial<typeof ASSUMED>): string =>
    (JSON.parse(noting('{"name":"A","note":"Assumed: b."}', { ...ASSUMED, ...stands })) as { note: string }).note;
  expect(noteOf({})).toBe('Assumed: b.');
  expect(noteOf({ position: POSITION, timeZone: ZONE })).toBe('Assumed: b.');
  expect(noteOf({ position: POSITION })).toBe('Assumed: b. The time zone was assumed, too.');
  expect(noteOf({ timeZone: ZONE })).toBe('Assumed: b. The position on Earth was assumed, too.');
});
