// Opening and saving: demos, files, what was kept. Nothing that is opened costs what was there before.
import type { DemoName, Fault } from '../engine/contract';
import { pack } from '../engine/archive';
import { SceneFaults, messageOf } from '../engine/faults';
import { readSceneFile, type Doing, type Reading } from '../engine/open-file';
import type { Origin } from '../engine/scene-store';
import { PageEngine } from '../engine/page-engine';
import { attachments } from './attachments.svelte';
import { contents } from './contents';
import { download, plainName } from './download';
import { autosave } from './autosave.svelte';
import type { Found, Opened } from './kept';
import { notices, type FaultList } from './notices.svelte';
import { picture } from './picture.svelte';
import { scene } from './scene.svelte';
import { viewpoint } from './viewpoint.svelte';

interface FileHandle {
  readonly name: string;
  createWritable(): Promise<{ write(content: string | Blob): Promise<void>; close(): Promise<void> }>;
}

type SavePicker = (options: {
  suggestedName: string;
  types: { description: string; accept: Record<string, string[]> }[];
}) => Promise<FileHandle>;

interface Form {
  type: string;
  extension: string;
  description: string;
}

const JSON_FORM: Form = { type: 'application/json', extension: '.json', description: 'Clerestory scene' };
const ZIP_FORM: Form = {
  type: 'application/zip',
  extension: '.zip',
  description: 'Clerestory scene with attachments',
};

/** The scene file. Rejects with `SceneFaults` where what an attachment holds is missing. */
async function written(
  form: Form,
  text: string,
  { contents, missing }: Awaited<ReturnType<typeof attachments.contents>>,
): Promise<string | Blob> {
  if (form === JSON_FORM) return text;
  if (missing.length > 0) {
    const expected = 'what this attachment holds; add the file again or remove it under File, Attachments';
    throw new SceneFaults(missing.map((name) => ({ path: name, expected, found: 'nothing in this browser' })));
  }
  return pack(text, contents);
}

/** The engine with what was found here, or with a demo where there was nothing or it cannot be built. */
async function beginWith(
  module: WebAssembly.Module,
  found: Found | null,
  asked: string | null,
): Promise<{ engine: PageEngine; opened: Opened | null }> {
  if (found?.kind === 'kept') {
    const { scene: record, release } = found.opened;
    try {
      return { engine: await PageEngine.resume(module, record.kept, record.actions), opened: found.opened };
    } catch (error) {
      // Only what the document itself refuses is damaged; a page that ran out of memory can open it the next time.
      if (!(error instanceof SceneFaults)) {
        autosave.line = {
          words: `“${record.head.name}” could not be opened (${messageOf(error)}). It is kept as it was; reload to try again.`,
          actions: [{ label: 'Reload', act: () => location.reload() }],
        };
      } else if (error.newer) {
        autosave.ofNewerPage(record.head.name);
      } else if (release !== null) {
        await autosave.damaged(record.head.id, error.message);
      }
      release?.();
    }
  }
  const demo = found?.kind === 'demo' ? found.id : asked;
  return { engine: await PageEngine.start(module, demo), opened: null };
}

class SceneFiles {
  origin = $state.raw<Origin>({ kind: 'demo', id: '' });
  /** The demo that is open; null for a file. */
  readonly demo = $derived(this.origin.kind === 'demo' ? this.origin.id : null);
  /** The file that is being checked before it is opened. */
  checking = $state.raw<{ name: string; doing: Doing } | null>(null);
  /** Name of the file that Save writes to without asking. */
  savesTo = $state<string | null>(null);

  /** Asks the reader for a file. */
  choose: () => void = () => undefined;

  #module: WebAssembly.Module | null = null;
  #engine: PageEngine | null = null;
  #check: Reading | null = null;
  #handle: FileHandle | null = null;
  /** Which form that file has. */
  #form: Form = JSON_FORM;

  /** An engine with what was found here, or with a demo. */
  async begin(
    module: WebAssembly.Module,
    found: Found | null,
    asked: string | null,
  ): Promise<{ engine: PageEngine; opened: Opened | null }> {
    const { engine, opened } = await beginWith(module, found, asked);
    this.#module = module;
    this.#engine = engine;
    engine.recorded = (action) => autosave.record(action);
    autosave.follow({ kept: () => engine.kept(), name: () => scene.overview?.name ?? '' });
    autosave.back = () => void this.back();
    return { engine, opened };
  }

  /** The page has its first scene: what was kept, or a demo. */
  started(opened: Opened | null): void {
    if (opened === null) {
      this.#opened({ kind: 'demo', id: this.#engine?.startedWith ?? '' });
      return;
    }
    this.#resumed(opened);
  }

  openDemo(id: string): void {
    this.#another(
      (engine) => engine.open(engine.demo(id)),
      (faults) => ({ title: 'This demo was not opened', sentence: 'The scene on the page is as it was.', faults }),
      { kind: 'demo', id },
    );
  }

  /** The demo that the scene was made from, as it was; the first one where it came from a file. */
  startAgain(demos: readonly DemoName[]): void {
    const id = this.demo ?? demos[0]?.id;
    if (id !== undefined) this.openDemo(id);
  }

  async openFile(file: File): Promise<void> {
    if (this.#module === null || this.#engine === null) return;
    this.stop();
    const listed = (faults: Fault[]): FaultList => ({
      title: 'This file was not opened',
      sentence: `${file.name} has ${faults.length === 1 ? 'a fault' : `${faults.length} faults`}. The scene on the page is as it was. Put right what is listed and open the file again.`,
      faults,
    });
    this.checking = { name: file.name, doing: 'reading' };
    const check = readSceneFile(this.#module, file, this.#engine.mostBytes(), (doing) => {
      if (this.#check === check) this.checking = { name: file.name, doing };
    });
    this.#check = check;
    try {
      const { text, contents: unpacked } = await check.scene;
      // Before anything refers to them.
      const why = this.#check === check ? await contents.put(unpacked) : null;
      if (this.#check !== check) return;
      this.#another((engine) => engine.open(text), listed, { kind: 'file', name: file.name });
      if (why !== null) notices.line = `The attachments could not be kept in this browser (${why}): the file has them.`;
    } catch (error) {
      if (this.#check !== check) return;
      const faults =
        error instanceof SceneFaults
          ? error.faults
          : [{ path: '', expected: 'a file that can be read', found: messageOf(error) }];
      notices.faults = listed(faults);
    } finally {
      if (this.#check === check) this.stop();
    }
  }

  /** Stops checking a file. */
  stop(): void {
    this.#check?.stop();
    this.#check = null;
    this.checking = null;
  }

  /** A scene that is kept in this browser. */
  async openKept(id: string): Promise<void> {
    if (id === autosave.id) return;
    const opened = await autosave.fetch(id);
    if (opened !== null) this.#reopen(opened);
  }

  /** The scene that was on the page before this one. */
  async back(): Promise<void> {
    const opened = await autosave.takeBack();
    if (opened !== null) this.#reopen(opened);
  }

  #reopen(opened: Opened): void {
    const { head, kept, actions } = opened.scene;
    const done = this.#instead(
      (engine) => engine.reopen(kept, actions),
      (faults) => ({ title: `“${head.name}” was not opened`, sentence: 'The scene on the page is as it was.', faults }),
    );
    if (done) this.#resumed(opened);
    else opened.release?.();
  }

  #resumed(opened: Opened): void {
    const { head, view } = opened.scene;
    this.origin = head.origin;
    this.#forgetFile();
    autosave.resumed(opened, () => this.startAgain(this.#engine?.demos() ?? []));
    if (view === null) return;
    if (scene.overview?.windows.some((w) => w.id === view.window)) viewpoint.windowId = view.window;
    if (view.mode === 'appearance' || view.mode === 'colour_true') picture.setMode(view.mode);
    if (scene.overview?.places.some((place) => place.name === view.place)) viewpoint.setPlace(view.place);
  }

  #another(change: (engine: PageEngine) => void, listed: (faults: Fault[]) => FaultList, origin: Origin): void {
    if (this.#instead(change, listed)) this.#opened(origin);
  }

  /** A change that is refused changes nothing; otherwise the previous scene is saved whole. */
  #instead(change: (engine: PageEngine) => void, listed: (faults: Fault[]) => FaultList): boolean {
    scene.before();
    return scene.open((engine) => {
      const before = engine.kept();
      change(engine);
      autosave.leave(before);
    }, listed);
  }

  #opened(origin: Origin): void {
    this.origin = origin;
    this.#forgetFile();
    autosave.opened(origin);
    const { previous } = autosave;
    if (previous === null) return;
    autosave.line = {
      words: previous.held
        ? `“${previous.head.name}” is not lost.`
        : `“${previous.head.name}” was not kept: it exists on this page only, until another scene is opened.`,
      actions: [{ label: `Back to “${previous.head.name}”`, act: () => autosave.back() }],
    };
  }

  // ---- Saving ----------------------------------------------------------------------------------------------------

  #forgetFile(): void {
    this.#handle = null;
    this.savesTo = null;
  }

  /** Saves to the chosen file, or asks for one; downloads where the browser has no file picker. */
  async save(another = false): Promise<void> {
    scene.before();
    const engine = this.#engine;
    if (engine === null) return;
    const form = attachments.list.length > 0 ? ZIP_FORM : JSON_FORM;
    const suggestedName = `${plainName(scene.overview?.name ?? '')}${form.extension}`;
    // What is saved is the scene as it is now, whatever is opened or changed while the browser asks where to.
    const [text, place, packed] = [engine.text(), autosave.place, attachments.contents()];
    const picker = (window as { showSaveFilePicker?: SavePicker }).showSaveFilePicker;
    try {
      if (picker === undefined) {
        download(await written(form, text, await packed), form.type, suggestedName);
      } else {
        let handle = this.#handle;
        // A file of the other form would have the wrong name.
        if (handle === null || another || form !== this.#form) {
          const types = [{ description: form.description, accept: { [form.type]: [form.extension] } }];
          handle = await picker.call(window, { suggestedName, types });
        }
        // Before the file is opened, which empties it.
        const content = await written(form, text, await packed);
        const writable = await handle.createWritable();
        await writable.write(content);
        await writable.close();
        if (autosave.id === place?.id) [this.#handle, this.#form, this.savesTo] = [handle, form, handle.name];
      }
      autosave.filed(place);
    } catch (error) {
      // The reader closed the browser's own dialog.
      if (error instanceof DOMException && error.name === 'AbortError') return;
      this.#forgetFile();
      notices.faults = {
        title: 'The scene was not saved',
        sentence: 'It is on the page as it was. Save it again, to another place if this one stays closed.',
        faults:
          error instanceof SceneFaults
            ? error.faults
            : [{ path: suggestedName, expected: 'a file that can be written', found: messageOf(error) }],
      };
    }
  }
}

export const files = new SceneFiles();
