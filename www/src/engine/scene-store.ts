// Storage in this browser between visits: for each scene its document with its history, written at intervals, and every
// action since, each as one small durable write. A record is read completely or not at all; an inconsistent one counts
// as damaged and is set aside. The contents of attachments are stored beside the records.
import { ATTACHMENTS, AttachmentStore } from './attachment-store';
import { openDatabase, type Loss } from './database';
import { asked, finished } from './idb';

const NAME = 'clerestory';
/** Version 2 added the contents of attachments. */
const DATABASE_VERSION = 2;
/**
 * Version of the record format. Version 2 holds documents and actions of scene format 2, or 3 if there are attachments:
 * pages that do not know those cannot open version 2 of the database either. Older records are read and continued in this
 * version; newer ones are left alone.
 */
export const FORM = 2;

/** Whether a record is of this version or an older one. */
export const isReadable = (head: Head): boolean => head.form >= 1 && head.form <= FORM;
/** How long to wait for a tab that is closing, ms. */
const LOCK_PATIENCE_MS = 1500;

/** The origin of a scene. `made`: the scene was made on the page, and no file has it yet. */
export type Origin = { kind: 'demo'; id: string } | { kind: 'file'; name: string; made?: true };

/** The small head of a record, written with every action. */
export interface Head {
  id: string;
  form: number;
  /** The tab that writes it. */
  writer: string;
  name: string;
  origin: Origin;
  /** Whether anything has been changed since it was opened. */
  edited: boolean;
  /** Number of the last action. */
  seq: number;
  changedAt: number;
  /** When it was last saved to a file, and the last action then; null if it never was. */
  filedAt: number | null;
  filedSeq: number | null;
}

interface Body {
  id: string;
  /** Number of the last action that the document holds. */
  seq: number;
  kept: string;
  sum: string;
}

interface KeptAction {
  id: string;
  seq: number;
  action: string;
  sum: string;
}

export interface View {
  id: string;
  window: string;
  place: string;
  mode: string;
}

export interface Aside {
  id: string;
  at: number;
  why: string;
  text: string;
}

export interface KeptScene {
  head: Head;
  kept: string;
  actions: string[];
  view: View | null;
}

/** The record is inconsistent. */
export class Damaged extends Error {
  constructor(
    readonly id: string,
    why: string,
  ) {
    super(why);
    this.name = 'Damaged';
  }
}

/** Another tab has taken the scene over. */
export class TakenElsewhere extends Error {
  constructor() {
    super('another tab writes to this scene');
    this.name = 'TakenElsewhere';
  }
}

/**
 * Two 32-bit checksums, FNV-1a and a position-weighted sum starting with the length: they detect damage, not malice.
 */
export function sumOf(text: string): string {
  let [a, b] = [0x811c9dc5, 0x9dc5811c ^ text.length];
  for (let i = 0; i < text.length; i += 1) {
    const code = text.charCodeAt(i);
    a = Math.imul(a ^ code, 0x01000193);
    b = Math.imul(b ^ (code + i), 0x01000193);
  }
  return (a >>> 0).toString(16).padStart(8, '0') + (b >>> 0).toString(16).padStart(8, '0');
}

const after = (id: string, seq: number): IDBKeyRange => IDBKeyRange.bound([id, seq], [id, Infinity], true);
const upTo = (id: string, seq: number): IDBKeyRange => IDBKeyRange.bound([id, -Infinity], [id, seq]);
const all = (id: string): IDBKeyRange => IDBKeyRange.bound([id, -Infinity], [id, Infinity]);

function upgrade(database: IDBDatabase, oldVersion: number): void {
  if (oldVersion < 1) {
    database.createObjectStore('heads', { keyPath: 'id' });
    database.createObjectStore('bodies', { keyPath: 'id' });
    database.createObjectStore('actions', { keyPath: ['id', 'seq'] });
    database.createObjectStore('views', { keyPath: 'id' });
    database.createObjectStore('aside', { keyPath: 'id' });
  }
  if (oldVersion < 2) database.createObjectStore(ATTACHMENTS, { keyPath: 'hash' });
}

export class SceneStore {
  readonly attachments: AttachmentStore;

  private constructor(private readonly database: IDBDatabase) {
    this.attachments = new AttachmentStore(database);
  }

  /**
   * Rejects if the browser offers no storage, as in a private window, if the store is of a newer version, or if other tabs
   * hold up its upgrade. `lost`: called when the connection is lost; every later call rejects.
   */
  static async open(lost: (why: Loss) => void): Promise<SceneStore> {
    if (typeof indexedDB === 'undefined') throw new Error('this browser does not store anything for pages');
    return new SceneStore(await openDatabase(NAME, DATABASE_VERSION, upgrade, lost));
  }

  /** The kept scenes, most recently changed first, including those of a newer version. */
  async list(): Promise<Head[]> {
    const heads = await asked(this.#reading('heads').objectStore('heads').getAll());
    return (heads as Head[]).filter((head) => typeof head.id === 'string').sort((a, b) => b.changedAt - a.changedAt);
  }

  /** Rejects with `Damaged` if it is inconsistent. */
  async load(id: string): Promise<KeptScene> {
    const transaction = this.#reading('heads', 'bodies', 'actions', 'views');
    const [head, body, actions, view] = (await Promise.all([
      asked(transaction.objectStore('heads').get(id)),
      asked(transaction.objectStore('bodies').get(id)),
      asked(transaction.objectStore('actions').getAll(all(id))),
      asked(transaction.objectStore('views').get(id)),
    ])) as [Head | undefined, Body | undefined, KeptAction[], View | undefined];
    if (head === undefined || body === undefined) throw new Damaged(id, 'a part of it is missing');
    if (typeof body.kept !== 'string' || sumOf(body.kept) !== body.sum) {
      throw new Damaged(id, 'the text of the scene has changed since it was written');
    }
    const since = actions.filter((action) => action.seq > body.seq);
    since.forEach((action, i) => {
      if (action.seq !== body.seq + 1 + i) throw new Damaged(id, `action ${body.seq + 1 + i} is missing`);
      if (typeof action.action !== 'string' || sumOf(action.action) !== action.sum) {
        throw new Damaged(id, `action ${action.seq} has changed since it was written`);
      }
    });
    if (head.seq !== body.seq + since.length) throw new Damaged(id, `its last action, ${head.seq}, is missing`);
    return { head, kept: body.kept, actions: since.map((action) => action.action), view: view ?? null };
  }

  /** Claims the record for this tab: later writes by another tab are refused. */
  async take(id: string, writer: string): Promise<void> {
    const transaction = this.#writing('heads');
    const heads = transaction.objectStore('heads');
    const head = (await asked(heads.get(id))) as Head | undefined;
    if (head !== undefined) heads.put({ ...head, writer });
    await finished(transaction);
  }

  /** Writes the complete document, and reads it back to verify. */
  async putWhole(head: Head, kept: string): Promise<void> {
    const body: Body = { id: head.id, seq: head.seq, kept, sum: sumOf(kept) };
    const transaction = this.#writing('heads', 'bodies', 'actions');
    const done = finished(transaction);
    await this.#mine(transaction, head, done);
    transaction.objectStore('heads').put(head);
    transaction.objectStore('bodies').put(body);
    transaction.objectStore('actions').delete(upTo(head.id, head.seq));
    transaction.commit();
    await done;
    const back = (await asked(this.#reading('bodies').objectStore('bodies').get(head.id))) as Body | undefined;
    if (back?.kept !== kept || back.sum !== body.sum || back.seq !== head.seq)
      throw new Error('what was written could not be read back');
  }

  /** Writes the actions since; `head.seq` is the number of the last. They are read back to verify. */
  async putActions(head: Head, actions: readonly string[]): Promise<void> {
    const first = head.seq - actions.length + 1;
    const records = actions.map((action, i) => ({ id: head.id, seq: first + i, action, sum: sumOf(action) }));
    const transaction = this.#writing('heads', 'actions');
    const done = finished(transaction);
    await this.#mine(transaction, head, done);
    transaction.objectStore('heads').put(head);
    // `add`, not `put`: an existing number was written by another tab.
    for (const record of records) transaction.objectStore('actions').add(record);
    transaction.commit();
    await done;
    const found = (await asked(
      this.#reading('actions')
        .objectStore('actions')
        .getAll(after(head.id, first - 1)),
    )) as KeptAction[];
    const whole =
      found.length === records.length &&
      found.every((back, i) => back.action === records[i]?.action && back.sum === records[i].sum);
    if (!whole) throw new Error('what was written could not be read back');
  }

  async putHead(head: Head): Promise<void> {
    const transaction = this.#writing('heads');
    const done = finished(transaction);
    await this.#mine(transaction, head, done);
    transaction.objectStore('heads').put(head);
    await done;
  }

  async putView(view: View): Promise<void> {
    const transaction = this.database.transaction(['views'], 'readwrite');
    transaction.objectStore('views').put(view);
    await finished(transaction);
  }

  async remove(id: string): Promise<void> {
    const transaction = this.#writing('heads', 'bodies', 'actions', 'views');
    this.#delete(transaction, id);
    await finished(transaction);
  }

  /** Sets a record aside as one text that the user can download. */
  async setAside(id: string, why: string): Promise<Aside> {
    const transaction = this.#writing('heads', 'bodies', 'actions', 'views', 'aside');
    const done = finished(transaction);
    // Whatever they hold: they may be the damaged part.
    const [head, body, actions] = await Promise.all([
      asked<unknown>(transaction.objectStore('heads').get(id)),
      asked<unknown>(transaction.objectStore('bodies').get(id)),
      asked<unknown[]>(transaction.objectStore('actions').getAll(all(id))),
    ]);
    const text = JSON.stringify({ why, head, body, actions }, null, 2);
    const aside: Aside = { id: `${id} ${Date.now()}`, at: Date.now(), why, text };
    transaction.objectStore('aside').put(aside);
    this.#delete(transaction, id);
    await done;
    return aside;
  }

  async asides(): Promise<Aside[]> {
    return (await asked(this.#reading('aside').objectStore('aside').getAll())) as Aside[];
  }

  async forget(aside: string): Promise<void> {
    const transaction = this.#writing('aside');
    transaction.objectStore('aside').delete(aside);
    await finished(transaction);
  }

  #delete(transaction: IDBTransaction, id: string): void {
    for (const store of ['heads', 'bodies', 'views']) transaction.objectStore(store).delete(id);
    transaction.objectStore('actions').delete(all(id));
  }

  #reading(...stores: string[]): IDBTransaction {
    return this.database.transaction(stores, 'readonly');
  }

  #writing(...stores: string[]): IDBTransaction {
    return this.database.transaction(stores, 'readwrite', { durability: 'strict' });
  }

  async #mine(transaction: IDBTransaction, head: Head, done: Promise<void>): Promise<void> {
    const there = (await asked(transaction.objectStore('heads').get(head.id))) as Head | undefined;
    if (there === undefined || there.writer === head.writer) return;
    transaction.abort();
    await done.catch(() => undefined);
    throw new TakenElsewhere();
  }
}

/** Locks a scene for this tab; null if another tab holds the lock. Browsers without locks always grant it. */
export async function hold(id: string): Promise<(() => void) | null> {
  const patience = new AbortController();
  const timer = setTimeout(() => patience.abort(), LOCK_PATIENCE_MS);
  return lock(id, patience.signal)
    .catch(() => null)
    .finally(() => clearTimeout(timer));
}

/** Locks a new scene, which no other tab can hold, however long that takes; null if the browser refuses locks. */
export async function holdNew(id: string): Promise<(() => void) | null> {
  return lock(id).catch(() => null);
}

/** The function that releases the lock, once it is granted. */
async function lock(id: string, signal?: AbortSignal): Promise<() => void> {
  if (!('locks' in navigator)) return () => undefined;
  return new Promise((resolve, reject) => {
    navigator.locks
      .request(`clerestory ${id}`, signal === undefined ? {} : { signal }, () => {
        return new Promise<void>((release) => resolve(release));
      })
      .catch(reject);
  });
}
