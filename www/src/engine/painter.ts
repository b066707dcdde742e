// Starts the worker that draws by the processor.
import type { SoftwareCalls } from './messages';
import { WorkerHost } from './worker-host';

/** `mostTraps` as `WorkerHost` takes it. */
export const painter = (mostTraps: number): WorkerHost<SoftwareCalls> =>
  new WorkerHost(() => new Worker(new URL('./software.worker.ts', import.meta.url), { type: 'module' }), mostTraps);
