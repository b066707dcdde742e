// Starts the worker that draws with the processor.
import type { SoftwareCalls } from './messages';
import { WorkerHost } from './worker-host';

/** `mostTraps`: see `WorkerHost`. */
export const painter = (mostTraps: number): WorkerHost<SoftwareCalls> =>
  new WorkerHost(() => new Worker(new URL('./software.worker.ts', import.meta.url), { type: 'module' }), mostTraps);
