// What an edit would come to, shown while a needle, a point or a slider is still being dragged.
import { onDestroy, untrack } from 'svelte';
import type { Edit } from '../engine/contract';
import { figures } from './figures.svelte';
import { picture } from './picture.svelte';
import { scene } from './scene.svelte';

class Preview {
  #shown = false;
  /** The figures of one are being waited for. */
  #waiting = false;
  #next: string | null = null;

  show(edit: Edit): void {
    const text = JSON.stringify(edit);
    this.#shown = true;
    // One at a time: the next goes when the figures of this one have come.
    if (this.#waiting) this.#next = text;
    else this.#send(text);
  }

  /** Where no edit has come of it, the scene is shown as it is. */
  end(): void {
    if (!this.#shown) return;
    this.forget();
    figures.unpreview(scene.shownText());
    picture.unpreview();
  }

  /** An edit has come of it, or another scene has been opened. */
  forget(): void {
    this.#shown = false;
    this.#waiting = false;
    this.#next = null;
  }

  /** Those figures will not come. */
  interrupted(): void {
    this.#waiting = false;
  }

  /** The figures asked for have come. */
  answered(): void {
    const next = this.#next;
    this.#next = null;
    if (next !== null) this.#send(next);
    else this.#waiting = false;
  }

  #send(text: string): void {
    this.#waiting = true;
    figures.preview(text);
    picture.preview(text);
  }
}

export const preview = new Preview();

/** For a component while it is set up: previews the edit that letting go would make; null while nothing is dragged. */
export function previewing(edit: () => Edit | null): void {
  $effect(() => {
    const held = edit();
    untrack(() => (held === null ? preview.end() : preview.show(held)));
  });
  // An unfinished drag is cancelled when the component unmounts, unless its own clean-up has made it an edit.
  onDestroy(() => queueMicrotask(() => preview.end()));
}
