// Starts the page: loads the module, opens the kept scene or a demo, and starts each part.
import { NotFetched } from '../engine/demos';
import { messageOf } from '../engine/faults';
import { Outdated } from '../engine/fetch-part';
import { compile } from '../engine/module';
import { nextTurn } from '../engine/turn';
import { files } from './files.svelte';
import { findFirst, type First } from './first-scene';
import { notices } from './notices.svelte';
import { picture } from './picture.svelte';
import { connect } from './refresh';
import { scene } from './scene.svelte';

/** If the picture takes longer than this, figures come first, ms. */
const FIRST_LIGHT_PATIENCE_MS = 2500;

class Start {
  loading = $state(true);
  /** Why there is no scene to begin with: the user may open one. Null otherwise. */
  without = $state<string | null>(null);

  async run(): Promise<void> {
    picture.prepare();
    connect();
    const asked = new URLSearchParams(location.search).get('scene');
    await this.#begin(compile(), findFirst(asked), asked);
  }

  async #begin(compiled: Promise<WebAssembly.Module>, found: Promise<First>, asked: string | null): Promise<void> {
    [this.loading, this.without, files.beginWith] = [true, null, null];
    // Both are awaited below, one after the other.
    found.catch(() => undefined);
    try {
      const module = await compiled;
      files.module = module;
      picture.module = module;
      const begun = await files.begin(module, await found, asked);
      scene.begin(begun.engine);
      picture.begin();
      await nextTurn();
      scene.show();
      files.started(begun);
      this.loading = false;
      setTimeout(() => picture.settled(), FIRST_LIGHT_PATIENCE_MS);
    } catch (error) {
      this.loading = false;
      if (error instanceof NotFetched) {
        this.without = `The demo could not be fetched (${error.message}): check the network, then reload.`;
        files.beginWith = (first) => this.#begin(compiled, Promise.resolve(first), asked);
      } else if (error instanceof Outdated) {
        this.without = 'The page has been updated: reload.';
      } else {
        notices.broken = messageOf(error);
      }
    }
  }
}

export const start = new Start();
