// What the page has to say about what has just happened.
import type { Fault } from '../engine/contract';

export interface FaultList {
  title: string;
  sentence: string;
  faults: Fault[];
}

class Notices {
  /** One line about what has just happened; the next action clears it. */
  line = $state<string | null>(null);
  /** What was refused, and why. */
  faults = $state.raw<FaultList | null>(null);
  /** Why the page cannot work at all. */
  broken = $state<string | null>(null);
}

export const notices = new Notices();
