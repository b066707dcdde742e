// Autosave: keeps the scene on the page in this browser, every action at once and the complete document at intervals.
// If something cannot be kept, the page says what and why.
import { hashesIn } from '../engine/attachment-store';
import { Blocked } from '../engine/database';
import {
  Damaged,
  FORM,
  isReadable,
  TakenElsewhere,
  hold,
  holdNew,
  type Head,
  type Origin,
  type SceneStore,
  type View,
} from '../engine/scene-store';
import * as lines from './autosave-lines';
import { browserStore } from './browser-store';
import { contents } from './contents';
import {
  reason,
  type AutosaveState,
  type Found,
  type Line,
  type Opened,
  type Place,
  type Previous,
  type Source,
} from './kept';
import { keptScenes } from './kept-scenes.svelte';

/** After this many actions the complete document is written again, so that opening it replays only a few. */
const ACTIONS_BETWEEN_WHOLES = 48;
/** The first write waits for the first picture, ms. */
const FIRST_WRITE_MS = 1500;
const VIEW_SETTLES_MS = 300;
const TAB = 'clerestory.scene';

const WRITER = newId();

function newId(): string {
  return Array.from(crypto.getRandomValues(new Uint32Array(3)), (n) => n.toString(36)).join('');
}

function tabScene(): string | null {
  try {
    return sessionStorage.getItem(TAB);
  } catch {
    return null;
  }
}

class Autosave {
  status = $state.raw<AutosaveState>({ state: 'unchanged' });
  line = $state.raw<Line | null>(null);
  /** The scene that was on the page before this one, if it had been changed. */
  previous = $state.raw<Previous | null>(null);
  /** Reopens the previous scene. */
  back: () => void = () => undefined;
  /** Called when the store has been opened again; it may have been emptied. */
  reopened: () => void = () => undefined;

  #source: Source | null = null;
  #head: Head | null = null;
  /** Releases the scene's lock; null while another tab holds it. */
  #release: (() => void) | null = null;
  #pending: string[] = [];
  /** The next write must be of the complete document. */
  #writeAll = true;
  #sinceWhole = 0;
  /** A write of the complete document is pending. */
  #wanted = false;
  /** Something is being written, or waits for its turn. */
  #running = $state(false);
  #chain: Promise<void> = Promise.resolve();
  #firstWrite: ReturnType<typeof setTimeout> | undefined;
  #viewWrite: ReturnType<typeof setTimeout> | undefined;
  #persistent = false;

  get #store(): SceneStore | null {
    return browserStore.store;
  }

  get id(): string | null {
    return this.#head?.id ?? null;
  }

  /** Whether the last action is still being written to the browser's store. */
  get writing(): boolean {
    return this.#running;
  }

  /** Whether closing the page now would lose anything. */
  get wouldLose(): boolean {
    const { previous } = this;
    const filed = previous !== null && previous.head.filedSeq === previous.head.seq;
    if (previous !== null && !previous.written && !filed) return true;
    return this.#head?.edited === true && (this.#running || this.status.state === 'not kept');
  }

  /** The current state of the scene on the page. */
  get place(): Place | null {
    const head = this.#head;
    return head === null ? null : { id: head.id, seq: head.seq + this.#pending.length };
  }

  // ---- At the beginning ------------------------------------------------------------------------------------------

  /** What to open: what this tab had, or what was changed last; if a demo is requested, the scene made from it. */
  async find(asked: string | null): Promise<Found | null> {
    browserStore.outdated = () => (this.line = lines.OUTDATED);
    browserStore.reopened = () => this.#writeAgain();
    try {
      const store = await browserStore.open();
      const heads = await store.list();
      keptScenes.scenes = heads.filter(isReadable);
      const newer = heads.find((head) => !isReadable(head));
      if (newer !== undefined && newer === heads[0]) this.line = lines.ofNewerPage(newer.name);
      const [tab, scenes] = [tabScene(), keptScenes.scenes];
      const wanted =
        asked === null
          ? (scenes.find((head) => head.id === tab) ?? scenes.find((head) => head.edited) ?? scenes[0])
          : scenes.find((head) => head.edited && head.origin.kind === 'demo' && head.origin.id === asked);
      void keptScenes.sweep();
      if (wanted === undefined) return null;
      if (!wanted.edited && wanted.origin.kind === 'demo') return { kind: 'demo', id: wanted.origin.id };
      const opened = await this.fetch(wanted.id);
      return opened === null ? null : { kind: 'kept', opened };
    } catch (error) {
      if (error instanceof Blocked) this.line = lines.BLOCKED;
      return null;
    }
  }

  /** The store may have been emptied: what it should hold is written again. */
  #writeAgain(): void {
    this.#writeAll = true;
    if (this.#head?.edited === true) this.#run(true);
    this.reopened();
  }

  /** A kept scene, with the right to write it unless another tab has that; null if it is damaged. */
  async fetch(id: string): Promise<Opened | null> {
    await this.#chain;
    const store = this.#store;
    if (store === null) return null;
    const release = await hold(id);
    try {
      if (release !== null) await store.take(id, WRITER);
      return { scene: await store.load(id), release };
    } catch (error) {
      if (error instanceof Damaged && release !== null) await this.damaged(id, error.message);
      else this.line = error instanceof Damaged ? lines.damagedElsewhere(error.message) : lines.notRead(error);
      release?.();
      return null;
    }
  }

  /** The record cannot be opened: it is set aside unchanged, for download as a file. */
  async damaged(id: string, why: string): Promise<void> {
    try {
      this.line = lines.setAside(why, await this.#store?.setAside(id, why));
    } catch (error) {
      this.line = lines.notSetAside(why, error);
    }
    await keptScenes.refresh();
  }

  // ---- Which scene ----------------------------------------------------------------------------------------------

  /** Keeps this scene from now on. */
  follow(source: Source): void {
    this.#source = source;
  }

  /** Continues with the kept scene that was found. */
  resumed({ scene, release, unwritten = false }: Opened, again: () => void): void {
    const { head } = scene;
    if (unwritten) this.line = null;
    this.#begin({ ...head, form: FORM, writer: WRITER });
    this.#letGo();
    this.#release = release;
    this.#writeAll = unwritten;
    this.#sinceWhole = scene.actions.length;
    if (unwritten && release !== null) this.#run(true);
    else if (head.filedAt !== null && head.filedSeq === head.seq)
      this.status = { state: 'saved', at: new Date(head.filedAt) };
    else if (head.edited) this.status = { state: 'kept', at: new Date(head.changedAt) };
    if (this.#release === null) {
      this.status = { state: 'not kept', why: 'open in another tab' };
      this.line = lines.openElsewhere(() => this.keepCopy());
    } else if (this.previous !== null) {
      if (!unwritten) this.line = lines.left(this.previous.head, this.previous.held, () => this.back());
    } else if (head.edited) {
      this.line = lines.asLeft(head, again);
    }
  }

  /** A scene has been opened from a demo or a file, or made on the page: that one is kept from the beginning. */
  opened(origin: Origin): void {
    this.#letGo();
    const made = origin.kind === 'file' && origin.made === true;
    const id = newId();
    this.#begin({
      id,
      form: FORM,
      writer: WRITER,
      name: this.#source?.name() ?? '',
      origin,
      edited: made,
      seq: 0,
      changedAt: Date.now(),
      filedAt: null,
      filedSeq: null,
    });
    // Also before the lock is granted, or without one: no other tab has a new id.
    this.#release = () => undefined;
    void holdNew(id).then((release) => {
      if (this.#head?.id === id) this.#release = release ?? this.#release;
      else release?.();
    });
    if (made) this.#run(true);
    else this.#firstWrite = setTimeout(() => this.#run(true), FIRST_WRITE_MS);
  }

  #begin(head: Head): void {
    clearTimeout(this.#firstWrite);
    this.#head = head;
    this.#pending = [];
    this.#writeAll = true;
    this.#sinceWhole = 0;
    this.status = { state: 'unchanged' };
    try {
      sessionStorage.setItem(TAB, head.id);
    } catch {
      // Without it, the next visit opens what was changed last.
    }
  }

  /** Another scene has been opened: the previous one is written completely, or deleted if it was not changed. */
  leave(kept: string): void {
    const [head, store] = [this.#head, this.#store];
    clearTimeout(this.#firstWrite);
    this.previous = null;
    if (head === null) return;
    const name = this.#source?.name() ?? head.name;
    const last: Head = { ...head, name, seq: head.seq + this.#pending.length };
    this.#pending = [];
    const [held, release] = [this.#release !== null && store !== null, this.#release];
    const previous: Previous | null = last.edited ? { head: last, kept, held, written: false } : null;
    this.previous = previous;
    this.#release = null;
    this.#head = null;
    if (store === null || !held) {
      release?.();
      return;
    }
    this.#chain = this.#chain
      .then(async () => {
        if (previous === null) return store.remove(last.id);
        const why = await contents.keepRest();
        await store.putWhole(last, kept);
        if (contents.arePageOnly(hashesIn(kept))) throw new Error(`attachments: ${why ?? 'not written'}`);
        previous.written = true;
      })
      .catch((error: unknown) => {
        if (previous === null) return;
        this.line = lines.onlyHere(last, error, this.previous === previous ? () => this.back() : null);
      })
      .finally(() => {
        release?.();
        void keptScenes.refresh();
      });
  }

  #letGo(): void {
    this.#release?.();
    this.#release = null;
  }

  /** Reopens the previous scene from memory: it need not have been kept. */
  async takeBack(): Promise<Opened | null> {
    const previous = this.previous;
    if (previous === null) return null;
    await this.#chain;
    // Another tab's scene continues there; this tab's continues under a new id.
    const head = previous.held ? previous.head : { ...previous.head, id: newId(), filedSeq: null };
    const release = await hold(head.id);
    if (release !== null && previous.held) await this.#store?.take(head.id, WRITER).catch(() => undefined);
    return { scene: { head, kept: previous.kept, actions: [], view: null }, release, unwritten: true };
  }

  /** Keeps this tab's scene as a separate copy beside the other tab's. */
  keepCopy(): void {
    const head = this.#head;
    if (head === null) return;
    const { origin, edited, filedAt } = head;
    this.opened(origin);
    if (this.#head !== null) this.#head = { ...this.#head, edited, filedAt, filedSeq: null };
    this.line = null;
    this.#run(true);
  }

  /** Deletes a kept scene from this browser. */
  async remove(id: string): Promise<void> {
    const release = await hold(id);
    if (release === null) {
      this.line = { words: 'That scene is open in another tab. Close it there first.', actions: [] };
      return;
    }
    await this.#store?.remove(id).catch(() => undefined);
    release();
    if (this.previous?.head.id === id) this.previous = null;
    await keptScenes.refresh();
  }

  // ---- Writing ---------------------------------------------------------------------------------------------------

  /** Records an action. */
  record(action: string): void {
    const head = this.#head;
    if (head === null) return;
    head.edited = true;
    head.changedAt = Date.now();
    this.#pending.push(action);
    this.#run(false);
  }

  /** The scene at this point of its history has been saved to a file. */
  filed(place: Place | null): void {
    const head = this.#head;
    if (head === null || head.id !== place?.id) return;
    head.filedAt = Date.now();
    head.filedSeq = place.seq;
    this.#chain = this.#chain
      .then(async () => {
        // If the last write failed, the record holds fewer actions than the head says; the next complete write corrects
        // that.
        if (this.#release !== null && !this.#writeAll && this.#head === head) await this.#store?.putHead({ ...head });
      })
      .catch(() => undefined)
      .finally(() => {
        if (this.#head !== head || head.filedAt === null || head.filedSeq !== head.seq + this.#pending.length) return;
        this.status = { state: 'saved', at: new Date(head.filedAt) };
      });
  }

  /** Window, viewing position and mode: not part of the scene, but of the view to return to. */
  view(view: Omit<View, 'id'>): void {
    const [head, store] = [this.#head, this.#store];
    if (head === null || store === null) return;
    clearTimeout(this.#viewWrite);
    this.#viewWrite = setTimeout(() => {
      if (this.#release !== null && this.#head === head) store.putView({ ...view, id: head.id }).catch(() => undefined);
    }, VIEW_SETTLES_MS);
  }

  #run(whole: boolean): void {
    clearTimeout(this.#firstWrite);
    this.#wanted ||= whole;
    if (this.#running) return;
    this.#running = true;
    this.#chain = this.#chain.then(async () => {
      try {
        await this.#write();
      } finally {
        this.#running = false;
      }
    });
  }

  async #write(): Promise<void> {
    let again = true;
    while (this.#wanted || this.#pending.length > 0) {
      const [head, store, source] = [this.#head, this.#store, this.#source];
      if (head === null || source === null) return;
      if (store === null || this.#release === null) {
        this.#writeAll = true;
        this.#wanted = false;
        this.#pending = [];
        const why = store === null ? browserStore.why : 'open in another tab';
        if (head.edited) this.status = { state: 'not kept', why };
        return;
      }
      const batch = this.#pending;
      this.#pending = [];
      head.seq += batch.length;
      head.name = source.name();
      const written = { ...head };
      try {
        // Before the document that refers to them.
        const why = await contents.keepRest();
        if (this.#wanted || this.#writeAll || this.#sinceWhole + batch.length > ACTIONS_BETWEEN_WHOLES) {
          this.#writeAll = true;
          this.#wanted = false;
          await store.putWhole(written, source.kept());
          if (this.#head === head) [this.#writeAll, this.#sinceWhole] = [false, 0];
        } else {
          await store.putActions(written, batch);
          this.#sinceWhole += batch.length;
        }
        if (this.#head === head && head.edited && head.filedSeq !== head.seq) {
          const left = contents.arePageOnly(source.attached());
          this.status = left
            ? { state: 'not kept', why: `attachments (${why ?? 'not written'})` }
            : { state: 'kept', at: new Date() };
          this.#askToStay();
        }
      } catch (error) {
        if (this.#head !== head) continue;
        this.#writeAll = true;
        if (error instanceof TakenElsewhere) this.#release = null;
        else if (again && (await this.#reconnected(error))) {
          [again, this.#wanted] = [false, true];
          continue;
        }
        if (head.edited) this.status = { state: 'not kept', why: reason(error) };
        return;
      }
    }
  }

  /** Whether a write failed only because the connection was lost, and there is a new one. */
  async #reconnected(error: unknown): Promise<boolean> {
    const lost = error instanceof DOMException && ['InvalidStateError', 'AbortError'].includes(error.name);
    if (!lost || this.#store === null) return false;
    return browserStore.open().then(
      () => true,
      () => false,
    );
  }

  /** Asks the browser not to evict the store when space runs out, as soon as there is something to lose. */
  #askToStay(): void {
    if (this.#persistent) return;
    this.#persistent = true;
    void navigator.storage?.persist?.().catch(() => false);
  }
}

export const autosave = new Autosave();
