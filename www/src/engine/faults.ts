// The module's errors carry every fault as JSON in their message; this is the one place that reads them.
import type { Fault } from './contract';

export const messageOf = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** The document refused a call and has not changed. */
export class SceneFaults extends Error {
  constructor(readonly faults: Fault[]) {
    super(faults.map((f) => `${f.path || 'the document'}: expected ${f.expected}, found ${f.found}`).join('\n'));
    this.name = 'SceneFaults';
  }

  /** The document is not damaged, but in a newer version of the format. */
  get newer(): boolean {
    return this.faults.some((fault) => fault.newer === true);
  }
}

/** The module's instance has stopped for good and must be rebuilt. */
export class Trapped extends Error {
  constructor(cause: unknown) {
    super(messageOf(cause), { cause });
    this.name = 'Trapped';
  }
}

function isFault(value: unknown): value is Fault {
  const fault = value as Partial<Fault> | null;
  return (
    typeof fault === 'object' &&
    fault !== null &&
    typeof fault.path === 'string' &&
    typeof fault.expected === 'string' &&
    typeof fault.found === 'string'
  );
}

/** The faults in an error of the module; null for other kinds of error. */
function faultsIn(message: string): Fault[] | null {
  try {
    const { faults } = JSON.parse(message) as { faults?: unknown };
    return Array.isArray(faults) && faults.every(isFault) ? faults : null;
  } catch {
    return null;
  }
}

/** Runs a call into the module. What it throws becomes `SceneFaults` or `Trapped`, or stays unchanged. */
export function calling<T>(call: () => T): T {
  try {
    return call();
  } catch (error) {
    throw asOurs(error);
  }
}

export function asOurs(error: unknown): unknown {
  if (error instanceof WebAssembly.RuntimeError || error instanceof RangeError) return new Trapped(error);
  if (error instanceof Error) {
    const faults = faultsIn(error.message);
    if (faults !== null) return new SceneFaults(faults);
    // An earlier trap left a borrow locked: the instance is unusable too.
    if (/recursive use of an object|null pointer passed to rust/.test(error.message)) return new Trapped(error);
  }
  return error;
}
