// Why a change was refused, in one or more sentences beneath its field.
import type { Fault } from '../engine/contract';
import { faultField } from './fault-words';

/**
 * `label`: of the field that was changed; another field that stands in the way is named instead. `places`: names of the viewing positions, in the order of the scene, which stand in the way of
 * some changes.
 */
export function refusalWords(faults: readonly Fault[], label: string, places: readonly string[]): string {
  return faults
    .map(({ path, expected, found }) => {
      const place = places[Number(/^places\[(\d+)\]/.exec(path)?.[1] ?? NaN)];
      const at = place === undefined ? (faultField(path) ?? label) : `Viewing position “${place}”`;
      return `${at}: expected ${expected}; found ${found}.`;
    })
    .join(' ');
}
