// What attachments hold, kept in this browser by the hash of their content: once, however many scenes refer to it, and
// never inside a scene's record.
import { asked, each, finished } from './idb';

/** Name of the object store. */
export const ATTACHMENTS = 'attachments';

interface KeptContent {
  hash: string;
  content: Blob;
  /** When it was written last. */
  at: number;
}

/** Every content hash that a text names, be it a scene, an action or a whole history. */
export function hashesIn(text: string): Set<string> {
  return new Set(text.match(/(?<![0-9a-f])[0-9a-f]{64}(?![0-9a-f])/g));
}

export class AttachmentStore {
  constructor(private readonly database: IDBDatabase) {}

  /** Keeps a content; it is on the disk when this resolves. */
  async put(hash: string, content: Blob): Promise<void> {
    const transaction = this.database.transaction([ATTACHMENTS], 'readwrite', { durability: 'strict' });
    const done = finished(transaction);
    transaction.objectStore(ATTACHMENTS).put({ hash, content, at: Date.now() } satisfies KeptContent);
    await done;
  }

  /** The content of a hash; null where it is not kept here. */
  async get(hash: string): Promise<Blob | null> {
    const store = this.database.transaction([ATTACHMENTS], 'readonly').objectStore(ATTACHMENTS);
    const found = (await asked(store.get(hash))) as KeptContent | undefined;
    return found?.content instanceof Blob ? found.content : null;
  }

  /** The hashes of everything that is kept. */
  async hashes(): Promise<Set<string>> {
    const store = this.database.transaction([ATTACHMENTS], 'readonly').objectStore(ATTACHMENTS);
    return new Set((await asked(store.getAllKeys())) as string[]);
  }

  /**
   * Deletes what was written before a time and is named neither by a kept scene, its history and what was set aside, nor by
   * `here`, the page's own. The search reads one store after another, so that writes need not wait for all of it; if a
   * scene has been written meanwhile, nothing is deleted. Returns how many were deleted.
   */
  async sweep(here: ReadonlySet<string>, before: number): Promise<number> {
    const { unnamed, heads } = await this.#unnamed(here, before);
    if (unnamed.length === 0) return 0;
    const transaction = this.database.transaction(['heads', ATTACHMENTS], 'readwrite');
    const done = finished(transaction);
    let deleted = 0;
    // Every write of a scene, its history or what was set aside changes a head.
    if ((await headsIn(transaction)) === heads) {
      const attachments = transaction.objectStore(ATTACHMENTS);
      for (const hash of unnamed) {
        const found = (await asked(attachments.get(hash))) as KeptContent | undefined;
        if (found === undefined || found.at >= before) continue;
        attachments.delete(hash);
        deleted += 1;
      }
    }
    await done;
    return deleted;
  }

  async #unnamed(here: ReadonlySet<string>, before: number): Promise<{ unnamed: string[]; heads: string }> {
    const reading = (store: string): IDBTransaction => this.database.transaction([store], 'readonly');
    const heads = await headsIn(reading('heads'));
    const unnamed = new Set<string>();
    await each(reading(ATTACHMENTS).objectStore(ATTACHMENTS), (record) => {
      const { hash, at } = record as KeptContent;
      if (at < before && !here.has(hash)) unnamed.add(hash);
    });
    // Whatever the records hold, damaged ones too: what is named anywhere stays.
    for (const store of unnamed.size > 0 ? ['bodies', 'actions', 'aside'] : []) {
      await each(reading(store).objectStore(store), (record) => {
        for (const hash of hashesIn(JSON.stringify(record))) unnamed.delete(hash);
      });
    }
    return { unnamed: [...unnamed], heads };
  }
}

/** The state of every kept scene: equal texts if none has been written between. */
async function headsIn(transaction: IDBTransaction): Promise<string> {
  return JSON.stringify(await asked<unknown[]>(transaction.objectStore('heads').getAll()));
}
