// The contents of attachments: on this page until they are kept in this browser.
import { hashesIn } from '../engine/attachment-store';
import type { Content } from '../engine/messages';
import { browserStore } from './browser-store';
import { reason } from './kept';

/** How long unreferenced contents stay, ms: another tab may be about to refer to them. */
const UNNAMED_STAYS_MS = 60 * 60 * 1000;

class Contents {
  /** What could not be kept in the browser yet. */
  #here = new Map<string, Blob>();
  /** Hashes of what this page has put into the browser's store. */
  #kept = new Set<string>();
  /** Hashes of what a file holds that was opened or saved here. */
  #filed = new Set<string>();

  /**
   * Keeps contents in the browser where possible, otherwise on this page. Await it before anything refers to them. Returns
   * why they are on this page only; null if they are kept.
   */
  async put(contents: readonly Content[]): Promise<string | null> {
    for (const { hash, content } of contents) this.#here.set(hash, content);
    return this.#keep(contents);
  }

  /** Tries again to keep what is only on this page. Returns why something could not be kept. */
  async keepRest(): Promise<string | null> {
    return this.#keep([...this.#here].map(([hash, content]) => ({ hash, content })));
  }

  async #keep(contents: readonly Content[]): Promise<string | null> {
    let why: string | null = null;
    for (const { hash, content } of contents) {
      try {
        if (browserStore.store === null) return browserStore.why;
        await browserStore.store.attachments.put(hash, content);
        this.#kept.add(hash);
        this.#here.delete(hash);
      } catch (error) {
        why = reason(error);
      }
    }
    return why;
  }

  /** The content of a hash; null if it is missing. Rejects with the reason if it cannot be read. */
  async get(hash: string): Promise<Blob | null> {
    const here = this.#here.get(hash);
    if (here !== undefined) return here;
    if (browserStore.store === null) throw new Error(browserStore.why);
    return browserStore.read(async (store) => {
      const content = await store.attachments.get(hash);
      // The store may list a content that it cannot read any more.
      await content?.slice(0, 1).arrayBuffer();
      return content;
    });
  }

  /** Those of these hashes whose content is neither here nor in the browser. Rejects with the reason if that is unknown. */
  async missing(hashes: readonly string[]): Promise<Set<string>> {
    const elsewhere = hashes.filter((hash) => !this.#here.has(hash));
    if (elsewhere.length === 0) return new Set();
    const kept = await browserStore.read((store) => store.attachments.hashes());
    return new Set(elsewhere.filter((hash) => !kept.has(hash)));
  }

  /** Whether one of these is on this page only. */
  arePageOnly(hashes: Iterable<string>): boolean {
    return [...hashes].some((hash) => this.#here.has(hash));
  }

  /** Whether one of these would be lost with the page: neither in the browser nor in a file. */
  wouldLose(hashes: Iterable<string>): boolean {
    return [...hashes].some((hash) => this.#here.has(hash) && !this.#filed.has(hash));
  }

  /** A file holds these. */
  filed(hashes: Iterable<string>): void {
    for (const hash of hashes) this.#filed.add(hash);
  }

  /** Deletes from the browser what is referred to neither by a kept scene or its history nor by `previous`, a document. */
  async sweep(previous: string): Promise<void> {
    const here = new Set([...this.#kept, ...this.#here.keys(), ...hashesIn(previous)]);
    // What cannot be deleted now can be another time.
    await browserStore.store?.attachments.sweep(here, Date.now() - UNNAMED_STAYS_MS).catch(() => 0);
  }
}

export const contents = new Contents();
