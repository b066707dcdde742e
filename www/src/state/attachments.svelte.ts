// The attachments of the scene: listed, added, described, downloaded, removed.
import { attaching, type Working } from '../engine/archive';
import type { AttachedFile, AttachmentKind, Fault } from '../engine/contract';
import { SceneFaults, messageOf } from '../engine/faults';
import type { Content, SetAttachment } from '../engine/messages';
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

type Attached = { edit: SetAttachment; content: Blob };

class Attachments {
  readonly list: readonly AttachedFile[] = $derived(scene.overview?.attachments ?? []);
  /** Hashes of those whose content is missing. */
  missing = $state.raw<ReadonlySet<string>>(new Set());
  /** Why the contents cannot be read at present; null if they can. */
  unreadable = $state<string | null>(null);
  /** What the next files are attached as. */
  kind = $state<AttachmentKind>('photograph');
  /** The file that is being read, and how many have been. */
  adding = $state.raw<{ name: string; done: number; of: number } | null>(null);
  /** What could not be attached or had, and why. */
  refused = $state.raw<readonly string[]>([]);

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

  /** Attaches files, in one action. What is refused is listed; the others are attached. */
  async add(files: readonly File[]): Promise<void> {
    if (this.adding !== null || files.length === 0) return;
    this.refused = [];
    this.#turn += 1;
    const [turn, opening] = [this.#turn, scene.opening];
    const added: Attached[] = [];
    for (const [done, file] of files.entries()) {
      this.adding = { name: file.name, done, of: files.length };
      try {
        this.#working = attaching({ file, kind: this.kind });
        added.push(await this.#working.done);
      } catch (error) {
        this.refused = [...this.refused, sentence(file.name, error)];
      }
      if (this.#turn !== turn) return;
    }
    // Neither stopped nor overtaken by another scene.
    await this.#attach(added, () => this.#turn === turn && scene.opening === opening);
    if (this.#turn === turn) this.stop();
  }

  async #attach(added: readonly Attached[], isHere: () => boolean): Promise<void> {
    if (added.length === 0) return;
    const why = await contents.put(added.map(contentOf));
    if (!isHere()) return;
    const listed = new Set(this.list.map((one) => one.hash));
    // Of one that is listed already only the content was to be had.
    const edits = added.map(({ edit }) => edit).filter(({ hash }) => !listed.has(hash) && listed.add(hash));
    const [only] = edits;
    if (edits.length === 1 && only !== undefined) scene.edit(only);
    else if (edits.length > 1) scene.edit({ edit: 'together', edits });
    await this.follow();
    if (why === null) return;
    this.refused = [
      ...this.refused,
      `What was added could not be kept in this browser (${why}): it is on this page only. Save the scene to a file.`,
    ];
  }

  /** Stops adding files; none of them is attached. */
  stop(): void {
    this.#turn += 1;
    this.#working?.stop();
    this.#working = null;
    this.adding = null;
  }

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
