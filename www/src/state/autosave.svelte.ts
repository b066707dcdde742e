// Autosave: keeps the scene on the page in this browser, every action at once and the complete document at intervals.
// If something cannot be kept, the page says what and why.
import {
  Damaged,
  FORM,
  isReadable,
  SceneStore,
  TakenElsewhere,
  hold,
  type Aside,
  type Head,
  type Origin,
  type View,
} from '../engine/scene-store';
import { download } from './download';
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
import { since } from './since';

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
  status = $state.raw<AutosaveState>({ state: 'as opened' });
  line = $state.raw<Line | null>(null);
  /** Every scene kept here, most recently changed first. */
  scenes = $state.raw<readonly Head[]>([]);
  /** Damaged records that could not be opened. */
  asides = $state.raw<readonly Aside[]>([]);
  /** The scene that was on the page before this one, if it had been changed. */
  previous = $state.raw<Previous | null>(null);
  /** Reopens the previous scene. */
  back: () => void = () => undefined;

  #store: SceneStore | null = null;
  /** Why nothing at all can be kept. */
  #nothing: string | null = null;
  #source: Source | null = null;
  #head: Head | null = null;
  /** Releases the scene's lock; null while another tab holds it. */
  #release: (() => void) | null = null;
  #pending: string[] = [];
  /** The next write must be of the complete document. */
  #whole = true;
  #sinceWhole = 0;
  /** A write of the complete document is pending. */
  #wanted = false;
  /** Something is being written, or waits for its turn. */
  #running = $state(false);
  #chain: Promise<void> = Promise.resolve();
  #firstWrite: ReturnType<typeof setTimeout> | undefined;
  #viewWrite: ReturnType<typeof setTimeout> | undefined;
  #persistent = false;

  /** What keeps scenes in this browser; null where nothing does. */
  get store(): SceneStore | null {
    return this.#store;
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
    try {
      this.#store = await SceneStore.open();
      const heads = await this.#store.list();
      this.scenes = heads.filter(isReadable);
      const newer = heads.find((head) => !isReadable(head));
      if (newer !== undefined && newer === heads[0]) {
        this.ofNewerPage(newer.name);
      }
      const [tab, scenes] = [tabScene(), this.scenes];
      const wanted =
        asked === null
          ? (scenes.find((head) => head.id === tab) ?? scenes.find((head) => head.edited) ?? scenes[0])
          : scenes.find((head) => head.edited && head.origin.kind === 'demo' && head.origin.id === asked);
      void this.#sweep(scenes);
      if (wanted === undefined) return null;
      if (!wanted.edited && wanted.origin.kind === 'demo') return { kind: 'demo', id: wanted.origin.id };
      const opened = await this.fetch(wanted.id);
      return opened === null ? null : { kind: 'kept', opened };
    } catch (error) {
      this.#nothing = reason(error);
      return null;
    }
  }

  /** Demos that were opened but not changed are deleted, unless a tab still has them. */
  async #sweep(scenes: readonly Head[]): Promise<void> {
    for (const { id, edited, origin } of scenes) {
      if (edited || origin.kind !== 'demo') continue;
      const release = await hold(id);
      if (release === null) continue;
      await this.#store?.remove(id).catch(() => undefined);
      release();
    }
    await this.refresh();
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
      else if (error instanceof Damaged) {
        this.line = {
          words: `The kept scene is damaged (${error.message}), and another tab has it open.`,
          actions: [],
        };
      } else this.line = { words: `The kept scene could not be read: ${reason(error)}.`, actions: [] };
      release?.();
      return null;
    }
  }

  /** The record is from a newer version of the page: it is left unchanged. */
  ofNewerPage(name: string): void {
    this.line = {
      words: `“${name}” was kept by a newer version of this page and has not been changed. Reload to get that version.`,
      actions: [{ label: 'Reload', act: () => location.reload() }],
    };
  }

  /** The record cannot be opened: it is set aside unchanged, for download as a file. */
  async damaged(id: string, why: string): Promise<void> {
    try {
      const aside = await this.#store?.setAside(id, why);
      this.line = {
        words: `The scene kept here is damaged (${why}) and was set aside. None of it was loaded.`,
        actions: aside === undefined ? [] : [{ label: 'Download the damaged scene', act: () => downloadAside(aside) }],
      };
    } catch (error) {
      this.line = {
        words: `The scene kept here is damaged (${why}) and could not be set aside: ${reason(error)}.`,
        actions: [],
      };
    }
    await this.refresh();
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
    this.#whole = unwritten;
    this.#sinceWhole = scene.actions.length;
    if (unwritten && release !== null) this.#run(true);
    else if (head.filedAt !== null && head.filedSeq === head.seq)
      this.status = { state: 'saved', at: new Date(head.filedAt) };
    else if (head.edited) this.status = { state: 'kept', at: new Date(head.changedAt) };
    if (this.#release === null) {
      this.status = { state: 'not kept', why: 'open in another tab' };
      this.line = {
        words: 'This scene is open in another tab, which keeps its changes. Changes made here are not kept.',
        actions: [{ label: 'Keep a separate copy', act: () => this.keepCopy() }],
      };
    } else if (head.edited && this.previous === null) {
      this.line = {
        words: `Opened as you left it, ${since(new Date(head.changedAt))}.`,
        actions: [{ label: 'Start again from the demo', act: again }],
      };
    }
  }

  /** A scene has been opened from a demo or a file. */
  opened(origin: Origin): void {
    this.#letGo();
    const id = newId();
    this.#begin({
      id,
      form: FORM,
      writer: WRITER,
      name: this.#source?.name() ?? '',
      origin,
      edited: false,
      seq: 0,
      changedAt: Date.now(),
      filedAt: null,
      filedSeq: null,
    });
    void hold(id).then((release) => {
      if (this.#head?.id === id) this.#release = release;
      else release?.();
    });
    // Until the lock is granted: no other tab has a new id.
    this.#release = () => undefined;
    this.#firstWrite = setTimeout(() => this.#run(true), FIRST_WRITE_MS);
  }

  #begin(head: Head): void {
    clearTimeout(this.#firstWrite);
    this.#head = head;
    this.#pending = [];
    this.#whole = true;
    this.#sinceWhole = 0;
    this.status = { state: 'as opened' };
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
        await store.putWhole(last, kept);
        previous.written = true;
      })
      .catch((error: unknown) => {
        if (previous === null) return;
        this.line = {
          words: `“${last.name}” could not be kept (${reason(error)}): it exists only on this page.`,
          actions: this.previous === previous ? [{ label: `Back to “${last.name}”`, act: () => this.back() }] : [],
        };
      })
      .finally(() => {
        release?.();
        void this.refresh();
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
    await this.refresh();
  }

  async forget(aside: Aside): Promise<void> {
    await this.#store?.forget(aside.id).catch(() => undefined);
    await this.refresh();
  }

  async refresh(): Promise<void> {
    try {
      const heads = (await this.#store?.list()) ?? [];
      this.scenes = heads.filter(isReadable);
      this.asides = (await this.#store?.asides()) ?? [];
    } catch {
      // The list has not changed.
    }
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
        if (this.#release !== null && !this.#whole && this.#head === head) await this.#store?.putHead({ ...head });
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
    while (this.#wanted || this.#pending.length > 0) {
      const [head, store, source] = [this.#head, this.#store, this.#source];
      if (head === null || source === null) return;
      if (store === null || this.#release === null) {
        this.#whole = true;
        this.#wanted = false;
        this.#pending = [];
        if (head.edited) {
          const why =
            store === null
              ? (this.#nothing ?? 'this browser does not store anything for this page')
              : 'open in another tab';
          this.status = { state: 'not kept', why };
        }
        return;
      }
      const batch = this.#pending;
      this.#pending = [];
      head.seq += batch.length;
      head.name = source.name();
      const written = { ...head };
      try {
        if (this.#wanted || this.#whole || this.#sinceWhole + batch.length > ACTIONS_BETWEEN_WHOLES) {
          this.#whole = true;
          this.#wanted = false;
          await store.putWhole(written, source.kept());
          if (this.#head === head) [this.#whole, this.#sinceWhole] = [false, 0];
        } else {
          await store.putActions(written, batch);
          this.#sinceWhole += batch.length;
        }
        if (this.#head === head && head.edited && head.filedSeq !== head.seq) {
          this.status = { state: 'kept', at: new Date() };
          this.#askToStay();
        }
      } catch (error) {
        if (this.#head !== head) continue;
        this.#whole = true;
        if (error instanceof TakenElsewhere) this.#release = null;
        if (head.edited) this.status = { state: 'not kept', why: reason(error) };
        return;
      }
    }
  }

  /** Asks the browser not to evict the store when space runs out, as soon as there is something to lose. */
  #askToStay(): void {
    if (this.#persistent) return;
    this.#persistent = true;
    void navigator.storage?.persist?.().catch(() => false);
  }
}

export const downloadAside = (aside: Aside): void => download(aside.text, 'application/json', 'damaged scene.json');

export const autosave = new Autosave();
