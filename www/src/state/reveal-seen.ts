// How far the picture of a whole window reaches: glass, and the inner reveal as the viewing position sees it.
import type { Place, Surroundings, WindowOutline, WindowPlace } from '../engine/contract';
import { eyeBefore, innerDepth, wallCut, type Drawing, type Span } from './wall-plan';

/** Edges in the plane of the glass, mm from the left and from the top of the window. */
export interface Shown {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/** How far beyond the window at most, as a share of its larger side: as pictures of the command line. */
const MOST_BEYOND = 0.4;
/** Nearest an eye is taken to be to the inner face of the wall. */
const NEAREST_M = 1e-3;

/** What the picture of a window shows from a place; without either, the glass alone. */
export function wholePicture(outline: WindowOutline, place: Place | null, surroundings: Surroundings | null): Shown {
  const { width_mm, height_mm } = outline;
  const glass = { left: 0, right: width_mm, top: 0, bottom: height_mm };
  const first = surroundings?.windows[0];
  const window = surroundings?.windows.find(({ id }) => id === outline.id);
  if (place === null || first === undefined || window === undefined || innerDepth(window) <= 0) return glass;
  const before = eyeBefore(window, first, place);
  const across = inGlassPlane(window, 'plan', first.centre_x_m + place.right_m, before);
  const up = inGlassPlane(window, 'section', place.eye_height_m, before);
  const most = MOST_BEYOND * Math.max(width_mm, height_mm);
  const beyond = (mm: number): number => Math.min(most, Math.max(0, mm));
  return {
    left: 0 - beyond(across[0]),
    right: width_mm + beyond(across[1]),
    top: 0 - beyond(up[1]),
    bottom: height_mm + beyond(up[0]),
  };
}

/** How far the opening in the inner face of the wall stands out beyond both edges of the glass, as an eye sees it, mm. */
function inGlassPlane(window: WindowPlace, drawing: Drawing, eye: number, distance: number): Span {
  const { glass, inner, glassDeep } = wallCut(window, drawing);
  const away = distance / Math.max(NEAREST_M, distance + glassDeep);
  const seen = inner.map((edge) => eye + (edge - eye) * away) as unknown as Span;
  return [1000 * (glass[0] - seen[0]), 1000 * (seen[1] - glass[1])];
}
