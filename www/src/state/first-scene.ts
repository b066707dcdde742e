// The scene that the page begins with: one kept in this browser, a file or a demo.
import { NotFetched, demoOrFirst, fetchDemo } from '../engine/demos';
import { SceneFaults, messageOf } from '../engine/faults';
import { PageEngine } from '../engine/page-engine';
import type { Origin } from '../engine/scene-store';
import { notOpened, ofNewerPage } from './autosave-lines';
import { autosave } from './autosave.svelte';
import type { Found, Opened } from './kept';

const DEMO_AGAIN_MS = 1000;

/** The first scene: one kept in this browser, or the text of a file or a demo. */
export type First = Extract<Found, { kind: 'kept' }> | { kind: 'text'; origin: Origin; text: string };

/** The engine with the first scene. */
export interface Begun {
  engine: PageEngine;
  /** What was kept; null for a file or a demo. */
  opened: Opened | null;
  origin: Origin;
}

/** The kept scene or the demo to begin with. Rejects as `fetchDemo`. */
export async function findFirst(asked: string | null): Promise<First> {
  const found = await autosave.find(asked);
  return found?.kind === 'kept' ? found : demoToBeginWith(found?.id ?? asked);
}

async function demoToBeginWith(asked: string | null): Promise<Extract<First, { kind: 'text' }>> {
  const id = demoOrFirst(asked);
  const text = await fetchDemo(id).catch(async (error: unknown) => {
    if (!(error instanceof NotFetched)) throw error;
    await new Promise((resolve) => setTimeout(resolve, DEMO_AGAIN_MS));
    return fetchDemo(id);
  });
  return { kind: 'text', origin: { kind: 'demo', id }, text };
}

/** The engine with the kept scene, or with a demo if the kept scene cannot be built. */
export async function beginWith(module: WebAssembly.Module, found: First, asked: string | null): Promise<Begun> {
  if (found.kind === 'kept') {
    const { opened } = found;
    const { scene: record, release } = opened;
    try {
      const engine = await PageEngine.resume(module, record.kept, record.actions);
      return { engine, opened, origin: record.head.origin };
    } catch (error) {
      // Only a record that the document refuses is damaged; a page that ran out of memory may open it next time.
      if (!(error instanceof SceneFaults)) {
        autosave.line = notOpened(record.head.name, messageOf(error));
      } else if (error.newer) {
        autosave.line = ofNewerPage(record.head.name);
      } else if (release !== null) {
        await autosave.damaged(record.head.id, error.message);
      }
      release?.();
    }
  }
  const { origin, text } = found.kind === 'text' ? found : await demoToBeginWith(asked);
  return { engine: await PageEngine.start(module, text), opened: null, origin };
}
