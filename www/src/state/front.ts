// The figures in front: of the plane that the viewing position is used for, otherwise at the eye, facing the window.
import type { FigureRange, LightRanges, Report, WorkingPlane, WorkingPlaneKind } from '../engine/contract';
import { lengthM } from './units';

/** The figures of the plane in front. */
export interface Front {
  /** Null for the eye. */
  plane: WorkingPlane | null;
  light: Report['viewing']['vertical'];
  share_of_clear: number | null;
  cast: Report['viewing']['cast'];
  looks: Report['viewing']['looks'];
  ra: number | null;
}

export function frontOf({ viewing }: Report): Front {
  const { vertical, working_plane, ...atEye } = viewing;
  if (working_plane === undefined) return { plane: null, light: vertical, ...atEye };
  const { kind, height_m, horizontal, ...onPlane } = working_plane;
  return { plane: { kind, height_m }, light: horizontal, ...onPlane };
}

/** The range of the light in front, by `LightRanges`. */
export const rangeInFront = (ranges: LightRanges): FigureRange => ranges.working_plane_lx ?? ranges.vertical_lx;

/** Whether an eye sees colour in this light; where it does not, figures of colour say nothing. */
export const seesColour = ({ looks }: Pick<Front, 'looks'>): boolean => looks.white_cloth !== null;

const ON: Record<WorkingPlaneKind, string> = { desk: 'on the desk', altar: 'on the altar', floor: 'on the floor' };

/** What a viewing position is used for, as in "light for a desk". */
export const USES: Record<WorkingPlaneKind, string> = { desk: 'a desk', altar: 'an altar', floor: 'the floor' };
/** The same without a plane. */
export const PERSON = 'a person';

/** As in "on the desk". */
export const onWords = ({ kind }: WorkingPlane): string => ON[kind];

/** As in "Light on the desk". */
export const lightWords = (plane: WorkingPlane | null): string =>
  `Light ${plane === null ? 'at the viewing position' : ON[plane.kind]}`;

/** Which plane it is: "on the desk, 0.75 m above the floor". */
export function planeWords(plane: WorkingPlane | null): string {
  if (plane === null) return 'vertical, facing the window';
  const { kind, height_m } = plane;
  if (kind !== 'floor') return `${ON[kind]}, ${lengthM(height_m)} above the floor`;
  return height_m > 0 ? `on a step, ${lengthM(height_m)} above the floor` : ON.floor;
}
