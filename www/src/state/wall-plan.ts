// How the wall around a window is drawn in plan and section. Lengths in m: `across` along the wall or up it, `deep` from
// the inner face of the wall, positive into the room.
import type { Guard, OpeningBounds, Place, Wall, WindowPlace } from '../engine/contract';

export type Drawing = 'plan' | 'section';
export type Span = readonly [number, number];

/** A window and its wall, cut level or upright. */
export interface WallCut {
  /** The opening in the outer face, at the glass and in the inner face. */
  outer: Span;
  glass: Span;
  inner: Span;
  /** Where the outer face and the glass lie; not positive. */
  outerDeep: number;
  glassDeep: number;
}

/** From the glass to the inner face of the wall. */
export const innerDepth = (window: WindowPlace | undefined): number => window?.wall.inner?.depth_m ?? 0;

/** Distance of an eye from the glass of a window, m; places measure it from the glass of the first. */
export const eyeBefore = (window: WindowPlace, first: WindowPlace | undefined, place: Place): number =>
  place.distance_m - innerDepth(first) + innerDepth(window);

const spanOf = (bounds: OpeningBounds, drawing: Drawing): Span =>
  drawing === 'plan' ? [bounds.left_m, bounds.right_m] : [bounds.bottom_m, bounds.top_m];

export function wallCut(window: WindowPlace, drawing: Drawing): WallCut {
  const { centre_x_m, sill_height_m, width_m, height_m, wall } = window;
  const glassDeep = 0 - innerDepth(window);
  return {
    outer: spanOf(window.outer_face, drawing),
    glass:
      drawing === 'plan'
        ? [centre_x_m - width_m / 2, centre_x_m + width_m / 2]
        : [sill_height_m, sill_height_m + height_m],
    inner: spanOf(window.inner_face, drawing),
    outerDeep: glassDeep - (wall.outer?.depth_m ?? 0),
    glassDeep,
  };
}

/** How thick the wall is drawn: as thick as the deepest of its windows needs. */
export const wallThickness = (windows: readonly WindowPlace[]): number =>
  Math.max(0, ...windows.map((window) => -wallCut(window, 'plan').outerDeep));

/** How far an overhang stands out from the wall at most. */
export const overhangDepth = (windows: readonly WindowPlace[]): number =>
  Math.max(0, ...windows.map(({ wall }) => wall.overhang?.depth_m ?? 0));

/** The overhang along the wall in plan, and the height of its underside. */
export function overhangSpan(window: WindowPlace): { across: Span; up: number } | null {
  const { overhang } = window.wall;
  if (overhang === undefined) return null;
  return {
    across: [window.centre_x_m - overhang.width_m / 2, window.centre_x_m + overhang.width_m / 2],
    up: window.outer_face.top_m + (overhang.above_m ?? 0),
  };
}

/**
 * The part of the glass that an eye sees past the inner reveal; null if it sees none. `distance`: of the eye from the
 * glass.
 */
export function seenGlass(cut: WallCut, eye: number, distance: number): Span | null {
  const depth = -cut.glassDeep;
  const beyond = (edge: number): number => eye + ((edge - eye) * distance) / (distance - depth);
  const seen: Span = [Math.max(cut.glass[0], beyond(cut.inner[0])), Math.min(cut.glass[1], beyond(cut.inner[1]))];
  return distance > depth && seen[1] > seen[0] ? seen : null;
}

export const thicknessOf = (guard: Guard): number => (guard.kind === 'mesh' ? guard.wire_mm : guard.diameter_mm);

/** Least width of a line and of a gap that can still be seen, in units of a drawing. */
const LEAST_LINE = 1;
const LEAST_GAP = 1.5;

/**
 * A guard as a line in front of the wall: its width, and the lengths of dash and gap where bars or wires are cut, null
 * where they run along it. To scale as long as single ones can be seen. `scale`: units per m.
 */
export function guardLine(guard: Guard, drawing: Drawing, scale: number): { width: number; dashes: Span | null } {
  const unit = scale / 1000;
  const width = Math.max(LEAST_LINE, thicknessOf(guard) * unit);
  const along = drawing === 'plan' ? 'level_bars' : 'upright_bars';
  if (guard.kind === along) return { width, dashes: null };
  return { width, dashes: [width, Math.max(LEAST_GAP, guard.pitch_mm * unit - width)] };
}

/** A wall without any of its parts has no depth, as in a scene that never stated one. */
export function statedWall(wall: Wall): Wall | null {
  const { guards = [], ...parts } = wall;
  const stated: Wall = guards.length === 0 ? parts : { ...parts, guards };
  return Object.keys(stated).length === 0 ? null : stated;
}

/** Whether the wall takes light, whatever its window's leads do. */
export function hasDepth(wall: Wall): boolean {
  const { leaf_mm: _, ...parts } = wall;
  return statedWall(parts) !== null;
}

/** What of a wall the picture shows, in a sentence; null if there is nothing. */
export function shownWords({ outer, inner, overhang, guards = [] }: Wall): string | null {
  const shown = [
    ...(outer !== undefined && outer.depth_m > 0 ? ['the outer reveal'] : []),
    ...(inner !== undefined && inner.depth_m > 0 ? ['the inner reveal'] : []),
    ...(overhang === undefined ? [] : ['the overhang']),
    ...(guards.length === 0 ? [] : ['an even veil for bars and mesh']),
  ];
  const last = shown.pop();
  if (last === undefined) return null;
  return `The picture shows ${shown.length === 0 ? '' : `${shown.join(', ')} and `}${last}.`;
}
