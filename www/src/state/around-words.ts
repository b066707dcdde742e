// What stands around the window and the wall that it is set in, in short lines, as the command line has them.
import type { Block, Guard, Horizon, Overhang, Reveal, Surroundings, WindowPlace } from '../engine/contract';
import { counted } from './drawing-words';
import { decimals } from './numbers';
import { capital } from './sentence';
import { gapMm, lengthM, lengthMm } from './units';
import { hasDepth, thicknessOf } from './wall-plan';

/** Most houses and walls that are listed. */
const MOST = 8;

const metresAsMm = (m: number): string => lengthMm(1000 * m);
const degrees = (value: number): string => `${decimals(value, Number.isInteger(value) ? 0 : 1)}°`;

/** A distance from the window's middle. */
const aside = (right_m: number): string => `${lengthM(Math.abs(right_m))} ${right_m < 0 ? 'left' : 'right'}`;

const blockLine = ({ distance_m, height_m, from_m, to_m }: Block): string =>
  `House or wall: ${lengthM(distance_m)} away, ${lengthM(height_m)} high, from ${aside(from_m)} to ${aside(to_m)}`;

/** The own building, the houses and walls opposite, and what stands far away. */
export function outsideLines({ horizon, assumed_own_height_m }: Surroundings): string[] {
  const { own_building: own, blocks = [], floor_above_ground_m: floor = 0 } = horizon;
  const lines: string[] = [];
  if (own !== undefined) {
    const assumed = own.height_m === undefined ? ', assumed from the room: one storey' : '';
    lines.push(`Own wall: ${lengthM(own.height_m ?? assumed_own_height_m)} high${assumed}`);
  }
  lines.push(...blocks.slice(0, MOST).map(blockLine));
  if (blocks.length > MOST) lines.push(`And ${blocks.length - MOST} more`);
  if (floor !== 0) {
    lines.push(`The room’s floor lies ${lengthM(Math.abs(floor))} ${floor > 0 ? 'above' : 'below'} the ground`);
  }
  const far = farWords(horizon);
  if (far !== null) lines.push(capital(far));
  return lines;
}

/** Skyline and trees: "skyline up to 3° high"; null where there are none. */
export function farWords({ skyline = [], trees = [] }: Horizon): string | null {
  const highest = Math.max(0, ...skyline.map(({ altitude_deg }) => altitude_deg));
  const tallest = Math.max(0, ...trees.map(({ altitude_deg }) => altitude_deg));
  const parts = [
    ...(skyline.length > 0 ? [`skyline up to ${degrees(highest)} high`] : []),
    ...(trees.length > 0 ? [`trees up to ${degrees(tallest)} high`] : []),
  ];
  return parts.length === 0 ? null : parts.join(', ');
}

function revealWords(side: string, reveal: Reveal | undefined): string[] {
  if (reveal === undefined || reveal.depth_m === 0) return [];
  const { jamb = 0, head = 0, sill = 0 } = reveal.splay_deg ?? {};
  const splays = [
    ...(jamb === 0 ? [] : [`jambs splayed ${degrees(jamb)}`]),
    ...(head === 0 ? [] : [`head splayed ${degrees(head)}`]),
    ...(sill === 0 ? [] : [`sill sloped ${degrees(sill)}`]),
  ];
  return [`${metresAsMm(reveal.depth_m)} deep ${side}, ${splays.length === 0 ? 'square' : splays.join(', ')}`];
}

const overhangWords = ({ depth_m, above_m, width_m }: Overhang): string =>
  `an overhang of ${metresAsMm(depth_m)}, ${metresAsMm(width_m)} wide, ${metresAsMm(above_m)} above the opening`;

const GUARDS: Record<Guard['kind'], string> = { upright_bars: 'upright bars', level_bars: 'level bars', mesh: 'mesh' };
const guardWords = (guard: Guard): string =>
  `${GUARDS[guard.kind]} of ${gapMm(thicknessOf(guard))}, ${gapMm(guard.pitch_mm)} middle to middle`;

/** One line for each window that has them; it is named if there are several. */
function windowLines(windows: readonly WindowPlace[], partsOf: (window: WindowPlace) => string[]): string[] {
  return windows.flatMap((window) => {
    const parts = partsOf(window);
    if (parts.length === 0) return [];
    const words = parts.join('; ');
    return [windows.length > 1 ? `${window.id}: ${words}` : capital(words)];
  });
}

/** The walls that have depth. */
export const wallLines = ({ windows }: Surroundings): string[] =>
  windowLines(windows, ({ wall: { outer, inner, overhang, guards = [] } }) => [
    ...revealWords('outside', outer),
    ...revealWords('inside', inner),
    ...(overhang === undefined ? [] : [overhangWords(overhang)]),
    ...guards.map(guardWords),
  ]);

/** The leads that have depth. */
export const leadLines = ({ windows }: Surroundings): string[] =>
  windowLines(windows, ({ wall: { leaf_mm } }) =>
    leaf_mm === undefined ? [] : [`leaves stand out ${gapMm(leaf_mm)} from the glass`],
  );

/** All of it in one quiet line: "2 houses or walls opposite, wall 1100 mm deep"; null where nothing is stated. */
export function aroundWords({ horizon, windows }: Surroundings): string | null {
  const { own_building, blocks = [] } = horizon;
  const parts: string[] = [];
  if (own_building !== undefined) parts.push('own building');
  if (blocks.length > 0) parts.push(`${counted(blocks.length, 'house or wall', 'houses or walls')} opposite`);
  const walls = windows.filter(({ wall }) => hasDepth(wall)).map(({ wall }) => wall);
  const deepest = Math.max(0, ...walls.map(({ outer, inner }) => (outer?.depth_m ?? 0) + (inner?.depth_m ?? 0)));
  if (deepest > 0) parts.push(`${windows.length > 1 ? 'walls up to' : 'wall'} ${metresAsMm(deepest)} deep`);
  if (walls.some(({ overhang }) => overhang !== undefined)) parts.push('overhang');
  if (walls.some(({ guards = [] }) => guards.length > 0)) parts.push('bars or mesh');
  return parts.length === 0 ? null : capital(parts.join(', '));
}
