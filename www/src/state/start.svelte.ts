// Starts the page: loads the module, opens the kept scene or a demo, and starts each part.
import { messageOf } from '../engine/faults';
import { compile } from '../engine/module';
import { nextTurn } from '../engine/turn';
import { files } from './files.svelte';
import { notices } from './notices.svelte';
import { picture } from './picture.svelte';
import { connect } from './refresh';
import { scene } from './scene.svelte';

/** If the picture takes longer than this, figures come first, ms. */
const FIRST_LIGHT_PATIENCE_MS = 2500;

class Start {
  loading = $state(true);

  async run(): Promise<void> {
    picture.prepare();
    connect();
    try {
      const asked = new URLSearchParams(location.search).get('scene');
      const [module, found] = await Promise.all([compile(), files.find(asked)]);
      picture.module = module;
      const begun = await files.begin(module, found, asked);
      scene.begin(begun.engine);
      picture.begin();
      await nextTurn();
      scene.show();
      files.started(begun);
      this.loading = false;
      setTimeout(() => picture.settled(), FIRST_LIGHT_PATIENCE_MS);
    } catch (error) {
      this.loading = false;
      notices.broken = messageOf(error);
    }
  }
}

export const start = new Start();
