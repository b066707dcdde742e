// Messages about what has just happened.
import type { Fault } from '../engine/contract';

export interface FaultList {
  title: string;
  sentence: string;
  faults: Fault[];
}

class Notices {
  /** One line, cleared by the next action. */
  line = $state<string | null>(null);
  /** Height of the line of messages, CSS pixels; 0 without one. */
  height = $state(0);
  /** A refused action and its faults. */
  faults = $state.raw<FaultList | null>(null);
  /** Why the page cannot work at all. */
  broken = $state<string | null>(null);
}

export const notices = new Notices();
