// Where a new window stands, as far as it has been said.
import type { Site, WorkingPlane } from '../engine/contract';

export type Position = Omit<Site, 'time_zone'>;

/** What is null is assumed. */
export interface Stands {
  position: Position | null;
  timeZone: string | null;
  facingDeg: number | null;
  sillM: number | null;
  /** Undefined until it is chosen; null for a person. */
  plane?: WorkingPlane | null;
}

export const ASSUMED: Stands = { position: null, timeZone: null, facingDeg: null, sillM: null };

/** The site with what is assumed of it. */
export const siteOf = ({ position, timeZone }: Stands, usual: Site): Site => ({
  ...usual,
  ...position,
  ...(timeZone === null ? {} : { time_zone: timeZone }),
});

/** The site that is told to the module; null if all of it is assumed, which the module notes itself. */
export const siteToTell = (stands: Stands, usual: Site): Site | null =>
  stands.position === null && stands.timeZone === null ? null : siteOf(stands, usual);

/** The text of a new scene whose note also lists the half of the site that was assumed: the module knows it as a whole. */
export function noting(text: string, { position, timeZone }: Stands): string {
  if ((position === null) === (timeZone === null)) return text;
  const scene = JSON.parse(text) as { note?: string };
  const assumed = position === null ? 'The position on Earth was assumed, too.' : 'The time zone was assumed, too.';
  return JSON.stringify({ ...scene, note: [scene.note ?? '', assumed].filter((part) => part !== '').join(' ') });
}
