// What attachments hold: on this page as long as it is open, and in this browser.
import { hashesIn } from '../engine/attachment-store';
import type { Content } from '../engine/messages';
import { autosave } from './autosave.svelte';
import { reason } from './kept';

/** What no scene refers to any more is kept for so long: another tab may be about to refer to it. */
const UNNAMED_STAYS_MS = 60 * 60 * 1000;

class Contents {
  /** Everything that came to this page. */
  #here = new Map<string, Blob>();
  /** What could not be kept in the browser. */
  #pageOnly = new Set<string>();

  /**
   * Keeps contents, in the browser where it can. To be awaited before anything refers to them. Returns why they are on
   * this page only; null where they are kept.
   */
  async put(contents: readonly Content[]): Promise<string | null> {
    let why: string | null = null;
    for (const { hash, content } of contents) {
      this.#here.set(hash, content);
      try {
        if (autosave.store === null) throw new Error('this browser keeps nothing for this page');
        await autosave.store.attachments.put(hash, content);
        this.#pageOnly.delete(hash);
      } catch (error) {
        this.#pageOnly.add(hash);
        why = reason(error);
      }
    }
    return why;
  }

  /** The content of a hash; null where it is nowhere. */
  async get(hash: string): Promise<Blob | null> {
    const here = this.#here.get(hash);
    if (here !== undefined) return here;
    return (await autosave.store?.attachments.get(hash).catch(() => null)) ?? null;
  }

  /** Those of these hashes whose content is nowhere. */
  async missing(hashes: readonly string[]): Promise<Set<string>> {
    const elsewhere = hashes.filter((hash) => !this.#here.has(hash));
    if (elsewhere.length === 0) return new Set();
    const kept = (await autosave.store?.attachments.hashes().catch(() => null)) ?? new Set();
    return new Set(elsewhere.filter((hash) => !kept.has(hash)));
  }

  /** Whether one of these would go with the page. */
  arePageOnly(hashes: readonly string[]): boolean {
    return hashes.some((hash) => this.#pageOnly.has(hash));
  }

  /** Deletes from the browser what no kept scene refers to, not even in its history. */
  async sweep(): Promise<void> {
    const here = new Set([...this.#here.keys(), ...hashesIn(autosave.previous?.kept ?? '')]);
    // What cannot be deleted now can be another time.
    await autosave.store?.attachments.sweep(here, Date.now() - UNNAMED_STAYS_MS).catch(() => 0);
  }
}

export const contents = new Contents();
