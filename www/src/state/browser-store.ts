// The store of this browser, for the whole page: opened once, and again if the connection is lost.
import type { Loss } from '../engine/database';
import { SceneStore } from '../engine/scene-store';
import { reason } from './kept';

const NEWER = 'a newer version of this page is open in another tab; reload';

class BrowserStore {
  /** Called when a newer page has taken the store over. */
  outdated: () => void = () => undefined;
  /** Called when the store has been opened again; it may have been emptied. */
  reopened: () => void = () => undefined;

  #store: SceneStore | null = null;
  #why: string | null = null;
  #opening: Promise<SceneStore> | null = null;

  /** Null where nothing can be kept. */
  get store(): SceneStore | null {
    return this.#store;
  }

  /** Why nothing can be kept. */
  get why(): string {
    return this.#why ?? 'this browser does not store anything for this page';
  }

  /** Rejects where nothing can be kept. */
  open(): Promise<SceneStore> {
    this.#opening ??= SceneStore.open((why) => this.#lost(why))
      .then(
        (store) => {
          [this.#store, this.#why] = [store, null];
          return store;
        },
        (error: unknown) => {
          [this.#store, this.#why] = [null, reason(error)];
          throw error;
        },
      )
      .finally(() => (this.#opening = null));
    return this.#opening;
  }

  #lost(why: Loss): void {
    if (why === 'newer page') {
      [this.#store, this.#why] = [null, NEWER];
      this.outdated();
    } else {
      void this.open().then(this.reopened, () => undefined);
    }
  }

  /** Reads from the store. If that fails, the store is opened again and read once more. Rejects with a reason for the user. */
  async read<T>(work: (store: SceneStore) => Promise<T>): Promise<T> {
    if (this.#store === null) throw new Error(this.why);
    try {
      return await work(this.#store);
    } catch {
      try {
        return await work(await this.open());
      } catch (error) {
        throw new Error(reason(error), { cause: error });
      }
    }
  }
}

export const browserStore = new BrowserStore();
