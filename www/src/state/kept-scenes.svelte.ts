// The list of what is kept in this browser.
import { hold, isReadable, type Aside, type Head } from '../engine/scene-store';
import { browserStore } from './browser-store';
import { download } from './download';

class KeptScenes {
  /** Every scene kept here, most recently changed first. */
  scenes = $state.raw<readonly Head[]>([]);
  /** Damaged records that could not be opened. */
  asides = $state.raw<readonly Aside[]>([]);

  async refresh(): Promise<void> {
    const { store } = browserStore;
    try {
      const heads = (await store?.list()) ?? [];
      this.scenes = heads.filter(isReadable);
      this.asides = (await store?.asides()) ?? [];
    } catch {
      // The list has not changed.
    }
  }

  /** Demos that were opened but not changed are deleted, unless a tab still has them. */
  async sweep(): Promise<void> {
    for (const { id, edited, origin } of this.scenes) {
      if (edited || origin.kind !== 'demo') continue;
      const release = await hold(id);
      if (release === null) continue;
      await browserStore.store?.remove(id).catch(() => undefined);
      release();
    }
    await this.refresh();
  }

  async forget(aside: Aside): Promise<void> {
    await browserStore.store?.forget(aside.id).catch(() => undefined);
    await this.refresh();
  }
}

export const downloadAside = (aside: Aside): void => download(aside.text, 'application/json', 'damaged scene.json');

export const keptScenes = new KeptScenes();
