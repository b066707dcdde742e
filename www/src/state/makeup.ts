// One change to what a piece is made of; everything else in it stays as the file says.
import type { Makeup, Paint, Plate } from '../engine/contract';

/** The plate toward the room: the one whose glass the piece is known by. */
export const innerPlate = (makeup: Makeup): number => makeup.plates.length - 1;

export function withPlate(makeup: Makeup, index: number, change: Partial<Plate>): Makeup {
  return { ...makeup, plates: makeup.plates.map((plate, i) => (i === index ? { ...plate, ...change } : plate)) };
}

const isMatting = (paint: Paint): boolean => paint.kind === 'matting';

/** Optical density of the first matting; 0 where there is none. */
export function mattingDensity(makeup: Makeup): number {
  return makeup.paint?.find(isMatting)?.density ?? 0;
}

/** With the first matting at another density; 0 takes it off, and where there was none one is fired last. */
export function withMatting(makeup: Makeup, density: number): Makeup {
  const paint = makeup.paint ?? [];
  const index = paint.findIndex(isMatting);
  if (density <= 0) return { ...makeup, paint: paint.filter((_, i) => i !== index) };
  if (index >= 0) return { ...makeup, paint: paint.map((p, i) => (i === index ? { ...p, density } : p)) };
  const lastFiring = Math.max(0, ...paint.map((p) => Number(p['firing'] ?? 1)));
  const plate = innerPlate(makeup);
  const added: Paint = { kind: 'matting', density, firing: Math.min(20, lastFiring + 1) };
  if (plate > 0) added['plate'] = plate;
  return { ...makeup, paint: [...paint, added] };
}
