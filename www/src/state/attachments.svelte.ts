// The attachments of the scene: listed, added, described, downloaded, removed.
import { attaching } from '../engine/archive';
import type { AttachedFile, AttachmentKind, Fault } from '../engine/contract';
import { SceneFaults, messageOf } from '../engine/faults';
import { tooMuch } from '../engine/limits';
import type { Content, SetAttachment } from '../engine/messages';
import type { Working } from '../engine/throwaway';
import { autosave } from './autosave.svelte';
import { contents } from './contents';
import { download } from './download';
import { notices } from './notices.svelte';
import { scene } from './scene.svelte';

export const KINDS: readonly { kind: AttachmentKind; name: string }[] = [
  { kind: 'photograph', name: 'Photograph' },
  { kind: 'measured_spectrum', name: 'Measured spectrum' },
  { kind: 'thickness_map', name: 'Thickness map' },
];

/** How long the page waits after the first picture before it deletes unreferenced contents, ms. */
const QUIET_AFTER_MS = 5000;

type Next = { file: File; kind: AttachmentKind };

/** What a file most likely is; the list lets it be changed. */
const kindOf = (file: File): AttachmentKind => (file.type.startsWith('image/') ? 'photograph' : 'measured_spectrum');
type Attached = { edit: SetAttachment; content: Blob };

class Attachments {
  readonly list: readonly AttachedFile[] = $derived(scene.overview?.attachments ?? []);
  /** Hashes of those whose content is missing. */
  missing = $state.raw<ReadonlySet<string>>(new Set());
  /** Why the contents cannot be read at present; null if they can. */
  unreadable = $state<string | null>(null);
  /** The file that is being read, how many have been, and of how many. */
  adding = $state.raw<{ name: string; done: number; of: number } | null>(null);
  /** Files are being dragged over the page. */
  dragged = $state(false);
  /** What could not be attached or read, and why. */
  refused = $state.raw<readonly string[]>([]);

  /** What is to be read next. */
  #queue: Next[] = [];
  /** What has been read and will be attached with the rest. */
  #added: Attached[] = [];
  #working: Working<Attached> | null = null;
  /** Counts what has been begun or stopped. */
  #turn = 0;
  #sweeping = false;

  /** Whether closing the page now would lose the content of an attachment. */
  get wouldLose(): boolean {
    return contents.wouldLose(this.list.map((one) => one.hash));
  }

  /** The scene or its attachments have changed: which of them have no content? */
  async follow(): Promise<readonly AttachedFile[]> {
    const hashes = (): string[] => this.list.map((one) => one.hash);
    const asked = hashes();
    let [missing, unreadable]: [ReadonlySet<string>, string | null] = [new Set(), null];
    try {
      missing = await contents.missing(asked);
    } catch (error) {
      unreadable = messageOf(error);
    }
    // They have changed meanwhile: that change asks by itself.
    if (asked.join() !== hashes().join()) return [];
    [this.missing, this.unreadable] = [missing, unreadable];
    return this.list.filter((one) => missing.has(one.hash));
  }

  /** Another scene has been opened. */
  async opened(): Promise<void> {
    this.refused = [];
    await this.check();
  }

  /** Says which contents are missing or cannot be read. */
  async check(): Promise<void> {
    const missing = await this.follow();
    if (this.unreadable !== null) {
      notices.line = `The attachments could not be read (${this.unreadable}). Reload the page to try again.`;
    } else if (missing.length > 0) {
      const names = missing.map((one) => `“${one.name}”`).join(', ');
      notices.line = `The content of ${names} is missing from this browser. Add the file again under File, Attachments, or remove it there.`;
    }
  }

  /**
   * Attaches files in one action, each as the kind that its type suggests. What is refused is listed; the others are attached. While
   * files are being read, more can be added.
   */
  async add(files: readonly File[]): Promise<void> {
    if (files.length === 0) return;
    this.#queue.push(...files.map((file) => ({ file, kind: kindOf(file) })));
    if (this.adding !== null) {
      this.adding = { ...this.adding, of: this.adding.of + files.length };
      return;
    }
    this.refused = [];
    this.#turn += 1;
    const [turn, opening] = [this.#turn, scene.opening];
    const isHere = (): boolean => this.#turn === turn && scene.opening === opening;
    let done = 0;
    while (this.#queue.length > 0) {
      for (let next = this.#queue.shift(); next !== undefined; next = this.#queue.shift()) {
        this.adding = { name: next.file.name, done, of: done + 1 + this.#queue.length };
        await this.#read(next);
        if (!isHere()) return;
        done += 1;
      }
      await this.#attach(this.#added, isHere);
      if (!isHere()) return;
      this.#added = [];
    }
    this.stop();
  }

  async #read(next: Next): Promise<void> {
    const { name } = next.file;
    const turn = this.#turn;
    try {
      this.#working = attaching(next);
      const one = await this.#working.done;
      if (this.#turn !== turn) return;
      const there = [
        ...this.list,
        ...this.#added.map(({ edit, content }) => ({ hash: edit.hash, bytes: content.size })),
      ];
      const why = there.some(({ hash }) => hash === one.edit.hash) ? null : tooMuch(there, one.content.size);
      if (why === null) this.#added.push(one);
      else this.refused = [...this.refused, `“${name}” was not attached: ${why}.`];
    } catch (error) {
      if (this.#turn === turn) this.refused = [...this.refused, sentence(name, error)];
    }
  }

  async #attach(added: readonly Attached[], isHere: () => boolean): Promise<void> {
    if (added.length === 0) return;
    const why = await contents.put(added.map(contentOf));
    if (!isHere()) return;
    const listed = new Set(this.list.map((one) => one.hash));
    // If it is listed already, only its content was missing.
    const edits = added.map(({ edit }) => edit).filter(({ hash }) => !listed.has(hash) && listed.add(hash));
    const [only] = edits;
    if (edits.length === 1 && only !== undefined) scene.edit(only);
    else if (edits.length > 1) scene.edit({ edit: 'together', edits });
    await this.follow();
    if (why === null) return;
    this.refused = [
      ...this.refused,
      `The files could not be kept in this browser (${why}): they are on this page only. Save the scene to a file.`,
    ];
  }

  /** Stops adding files; none of them is attached. */
  stop(): void {
    this.#turn += 1;
    this.#working?.stop();
    this.#working = null;
    [this.#queue, this.#added] = [[], []];
    this.adding = null;
  }

  /** The dialog has been closed: files that are still being read are not attached, and the page says so. */
  closed(): void {
    if (this.adding === null) return;
    const names = [
      ...this.#added.map(({ edit }) => edit.attachment?.name ?? ''),
      this.adding.name,
      ...this.#queue.map(({ file }) => file.name),
    ];
    this.stop();
    const listed = [...new Set(names)].map((name) => `“${name}”`).join(', ');
    notices.line = `Closing the dialog stopped the reading of files. Not attached: ${listed}.`;
  }

  /** Changes the kind or the note of an attachment. */
  describe(one: AttachedFile, change: { kind?: AttachmentKind; note?: string }): void {
    const { hash, name, media_type, bytes } = one;
    const { kind, note } = { ...one, ...change };
    const attachment = { name, kind, media_type, bytes, ...(note.trim() === '' ? {} : { note: note.trim() }) };
    scene.edit({ edit: 'set_attachment', hash, attachment });
  }

  async download({ hash, name, media_type }: AttachedFile): Promise<void> {
    try {
      const content = await contents.get(hash);
      if (content === null) await this.follow();
      else download(content, media_type, name);
    } catch (error) {
      this.refused = [notRead(name, error)];
    }
  }

  remove({ hash }: AttachedFile): void {
    scene.edit({ edit: 'set_attachment', hash, attachment: null });
  }

  /** The contents for the scene's file. Rejects with `SceneFaults` if one is missing or cannot be read. */
  async contents(): Promise<Content[]> {
    const found: Content[] = [];
    const faults: Fault[] = [];
    for (const { hash, name } of this.list) {
      try {
        const content = await contents.get(hash);
        if (content !== null) found.push({ hash, content });
        else {
          const expected = 'its content; add the file again or remove it under File, Attachments';
          faults.push({ path: name, expected, found: 'nothing in this browser' });
        }
      } catch (error) {
        const expected = 'content that can be read; reload the page and save again';
        faults.push({ path: name, expected, found: `it could not be read (${messageOf(error)})` });
      }
    }
    if (faults.length > 0) throw new SceneFaults(faults);
    return found;
  }

  /** Once the page is at rest, what no scene refers to is deleted. */
  sweepWhenQuiet(): void {
    if (this.#sweeping) return;
    this.#sweeping = true;
    setTimeout(() => {
      const sweep = (): void => void contents.sweep(autosave.previous?.kept ?? '');
      if ('requestIdleCallback' in window) requestIdleCallback(sweep);
      else sweep();
    }, QUIET_AFTER_MS);
  }
}

const contentOf = ({ edit, content }: Attached): Content => ({ hash: edit.hash, content });

const notRead = (name: string, error: unknown): string =>
  `The content of “${name}” could not be read (${messageOf(error)}). Reload the page to try again.`;

function sentence(name: string, error: unknown): string {
  if (!(error instanceof SceneFaults)) return `“${name}” was not attached: ${messageOf(error)}.`;
  const faults = error.faults.map((fault) => `expected ${fault.expected}, found ${fault.found}`);
  return `“${name}” was not attached: ${faults.join('; ')}.`;
}

export const attachments = new Attachments();
