// What is wrong with the measurements of an opening, in words and the reader's units.
import type { OpeningFault } from '../engine/contract';
import { length, shown, stepOf, unitOf, type System } from './lengths';
import { whole } from './numbers';

/** The measurement, or the part, that a fault belongs to. */
export function fieldOf(fault: OpeningFault): string {
  return fault.kind === 'little_glass' || fault.kind === 'not_sound' ? 'filling' : fault.field;
}

/** A range, rounded inward so that its ends can be typed as they are written. */
function range(leastMm: number, mostMm: number, system: System): string {
  const step = stepOf('panel', system);
  const inward: [number, number] = [Math.ceil(leastMm / step - 1e-6) * step, Math.floor(mostMm / step + 1e-6) * step];
  const [least, most] = inward[0] <= inward[1] ? inward : [leastMm, mostMm];
  const [from, to] = [shown(least, 'panel', system), shown(most, 'panel', system)];
  return `${from} to ${to} ${unitOf('panel', system)}`;
}

/** `label`: what the page calls the measurement. */
export function wordsOf(fault: OpeningFault, label: string, system: System): string {
  const written = (mm: number): string => length(mm, 'panel', system);
  switch (fault.kind) {
    case 'length':
      return fault.least_mm > fault.most_mm
        ? `${label}: none is possible here. Make the opening larger, or the leads narrower.`
        : `${label}: expected ${range(fault.least_mm, fault.most_mm, system)}${fault.why}.`;
    case 'impossible':
      return `${label}: expected ${fault.why}.`;
    case 'count':
      return `${label}: expected ${fault.least} to ${fault.most}${fault.why}.`;
    case 'little_glass':
      return (
        `The ${fault.what}: ${written(fault.found_mm)} across between the middles of the leads, expected at least ` +
        `${written(fault.least_mm)}, so that glass shows between them. Make them larger, or the leads narrower.`
      );
    case 'too_many_pieces':
      return `Expected at most ${whole(fault.limit)} pieces, found about ${whole(fault.found)}. Make them larger.`;
    case 'not_sound':
      return 'Somewhere the leads lie too close together. Change the size or number of the panes a little, or make the leads narrower.';
  }
}
