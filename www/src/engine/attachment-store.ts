// What attachments hold, kept in this browser by the hash of their content: once, however many scenes refer to it, and
// never inside a scene's record.
import { asked, finished } from './idb';

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
   * `here`, the page's own. One transaction: no other tab writes in between. Returns how many were deleted.
   */
  async sweep(here: ReadonlySet<string>, before: number): Promise<number> {
    const transaction = this.database.transaction(['bodies', 'actions', 'aside', ATTACHMENTS], 'readwrite');
    const done = finished(transaction);
    const attachments = transaction.objectStore(ATTACHMENTS);
    const kept = (await asked(attachments.getAllKeys())) as string[];
    let deleted = 0;
    if (kept.length > 0) {
      const texts: unknown[] = [];
      for (const store of ['bodies', 'actions', 'aside'])
        texts.push(await asked(transaction.objectStore(store).getAll()));
      // Whatever the records hold, damaged ones too: what is named anywhere stays.
      const named = hashesIn(JSON.stringify(texts));
      for (const hash of kept.filter((one) => !named.has(one) && !here.has(one))) {
        const found = (await asked(attachments.get(hash))) as KeptContent | undefined;
        if (found === undefined || found.at >= before) continue;
        attachments.delete(hash);
        deleted += 1;
      }
    }
    await done;
    return deleted;
  }
}
