// Previews an edit while a needle, a point or a slider is still being dragged.
import { onDestroy, untrack } from 'svelte';
import type { Edit } from '../engine/contract';
import { figures } from './figures.svelte';
import { picture } from './picture.svelte';
import { scene } from './scene.svelte';

class Preview {
  #shown = false;
  /** Figures of a preview are pending. */
  #waiting = false;
  #next: string | null = null;

  show(edit: Edit): void {
    const text = JSON.stringify(edit);
    this.#shown = true;
    // One at a time: the next preview starts when the figures of this one have come.
    if (this.#waiting) this.#next = text;
    else this.#send(text);
  }

  /** Ends the preview. Without an edit, the scene itself is shown again. */
  end(): void {
    if (!this.#shown) return;
    this.forget();
    figures.unpreview(scene.shownText());
    picture.unpreview();
  }

  /** The edit was made, or another scene was opened. */
  forget(): void {
    this.#shown = false;
    this.#waiting = false;
    this.#next = null;
  }

  /** The pending figures will not come. */
  interrupted(): void {
    this.#waiting = false;
  }

  /** The requested figures have come. */
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

/** To be called during component set-up: previews the edit that releasing the drag would make; null without a drag. */
export function previewing(edit: () => Edit | null): void {
  $effect(() => {
    const held = edit();
    untrack(() => (held === null ? preview.end() : preview.show(held)));
  });
  // An unfinished drag is cancelled when the component unmounts, unless its clean-up applied it.
  onDestroy(() => queueMicrotask(() => preview.end()));
}
