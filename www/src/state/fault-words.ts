// Where a fault is, in the words of the page.

/** Fields of the scene that depend on one another, so that a change of one may be refused because of the other. */
const FIELDS: Record<string, string> = {
  'horizon.own_building.height_m': 'Height of this building’s wall',
  'horizon.floor_above_ground_m': 'Floor above ground',
};

const OF_BLOCK: Record<string, string> = {
  distance_m: 'distance',
  height_m: 'height',
  from_m: 'left end',
  to_m: 'right end',
  depth_m: 'depth',
};

/** The field of the page that a fault is of; null where it has none. */
export function faultField(path: string): string | null {
  const block = /^horizon\.blocks\[(\d+)\]\.(\w+)$/.exec(path);
  const field = block === null ? undefined : OF_BLOCK[block[2] ?? ''];
  if (field !== undefined) return `House or wall ${Number(block?.[1]) + 1}, ${field}`;
  return FIELDS[path] ?? null;
}

/** The place of a fault: the field of the page where it has one, otherwise the path in the file. */
export const faultPlace = (path: string): string => (path === '' ? 'The file' : (faultField(path) ?? path));
