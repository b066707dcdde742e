// Opens and saves demos, files and kept scenes. Opening a scene never loses the previous one.
import type { Fault } from '../engine/contract';
import { pack } from '../engine/archive';
import { demoOrFirst, fetchDemo } from '../engine/demos';
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

/** The scene that the page begins with. */
interface Begun {
  engine: PageEngine;
  /** What was kept; null for a demo. */
  opened: Opened | null;
  /** Id of the demo; null for what was kept. */
  demo: string | null;
}

/** The first scene: one kept in this browser, or the file of a demo. */
type First = Extract<Found, { kind: 'kept' }> | { kind: 'demo'; id: string; text: string };

async function demoToBeginWith(asked: string | null): Promise<Extract<First, { kind: 'demo' }>> {
  const id = demoOrFirst(asked);
  return { kind: 'demo', id, text: await fetchDemo(id) };
}

/** The engine with the kept scene, or with a demo if the kept scene cannot be built. */
async function beginWith(module: WebAssembly.Module, found: First, asked: string | null): Promise<Begun> {
  if (found.kind === 'kept') {
    const { scene: record, release } = found.opened;
    try {
      return { engine: await PageEngine.resume(module, record.kept, record.actions), opened: found.opened, demo: null };
    } catch (error) {
      // Only a record that the document refuses is damaged; a page that ran out of memory may open it next time.
      if (!(error instanceof SceneFaults)) {
        autosave.line = {
          words: `“${record.head.name}” could not be opened (${messageOf(error)}). It is still kept, unchanged; reload to try again.`,
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
  const { id, text } = found.kind === 'demo' ? found : await demoToBeginWith(asked);
  return { engine: await PageEngine.start(module, text), opened: null, demo: id };
}

class SceneFiles {
  origin = $state.raw<Origin>({ kind: 'demo', id: '' });
  /** The demo that is open; null for a file. */
  readonly demo = $derived(this.origin.kind === 'demo' ? this.origin.id : null);
  /** The file being checked before it is opened. */
  checking = $state.raw<{ name: string; doing: Doing } | null>(null);
  /** Name of the file to which Save writes without asking. */
  savesTo = $state<string | null>(null);

  /** Asks the user for a file. */
  choose: () => void = () => undefined;

  #module: WebAssembly.Module | null = null;
  #engine: PageEngine | null = null;
  #check: Reading | null = null;
  /** Counts what the reader asks to open: what arrives after the next one was asked for is not opened. */
  #turn = 0;
  #handle: FileHandle | null = null;
  /** Which form that file has. */
  #form: Form = JSON_FORM;

  /** Finds the first scene. This needs no engine, so it can run while the engine is compiled. */
  async find(asked: string | null): Promise<First> {
    const found = await autosave.find(asked);
    return found?.kind === 'kept' ? found : demoToBeginWith(found?.id ?? asked);
  }

  /** An engine with the scene found. */
  async begin(module: WebAssembly.Module, found: First, asked: string | null): Promise<Begun> {
    const begun = await beginWith(module, found, asked);
    const { engine } = begun;
    this.#module = module;
    this.#engine = engine;
    engine.recorded = (action) => autosave.record(action);
    autosave.follow({ kept: () => engine.kept(), name: () => scene.overview?.name ?? '' });
    autosave.back = () => void this.back();
    return begun;
  }

  /** The page shows its first scene. */
  started({ opened, demo }: Begun): void {
    if (opened === null) this.#opened({ kind: 'demo', id: demo ?? '' });
    else this.#resumed(opened);
  }

  async openDemo(id: string): Promise<void> {
    this.stop();
    const listed = (faults: Fault[]): FaultList => ({
      title: 'This demo was not opened',
      sentence: 'The scene on the page is as it was.',
      faults,
    });
    const turn = this.#turn;
    let text: string;
    try {
      text = await fetchDemo(id);
    } catch (error) {
      const expected = 'a demo that can be fetched: check the network and try again';
      if (turn === this.#turn) notices.faults = listed([{ path: '', expected, found: messageOf(error) }]);
      return;
    }
    if (turn === this.#turn) this.#another((engine) => engine.open(text), listed, { kind: 'demo', id });
  }

  /** The demo that the scene was made from, as it was; the first one where it came from a file. */
  startAgain(): void {
    void this.openDemo(demoOrFirst(this.demo));
  }

  async openFile(file: File): Promise<void> {
    if (this.#module === null || this.#engine === null) return;
    this.stop();
    const listed = (faults: Fault[]): FaultList => ({
      title: 'This file was not opened',
      sentence: `${file.name} has ${faults.length === 1 ? 'a fault' : `${faults.length} faults`}. The scene on the page has not changed. Correct what is listed and open the file again.`,
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

  /** Stops what is being fetched or checked to be opened. */
  stop(): void {
    this.#turn += 1;
    this.#check?.stop();
    this.#check = null;
    this.checking = null;
  }

  /** Opens a scene kept in this browser. */
  async openKept(id: string): Promise<void> {
    if (id === autosave.id) return;
    this.stop();
    const opened = await autosave.fetch(id);
    if (opened !== null) this.#reopen(opened);
  }

  /** Opens the scene that was on the page before this one. */
  async back(): Promise<void> {
    this.stop();
    const opened = await autosave.takeBack();
    if (opened !== null) this.#reopen(opened);
  }

  #reopen(opened: Opened): void {
    const { head, kept, actions } = opened.scene;
    const done = this.#instead(
      (engine) => engine.reopen(kept, actions),
      (faults) => ({
        title: `“${head.name}” was not opened`,
        sentence: 'The scene on the page has not changed.',
        faults,
      }),
    );
    if (done) this.#resumed(opened);
    else opened.release?.();
  }

  #resumed(opened: Opened): void {
    const { head, view } = opened.scene;
    this.origin = head.origin;
    this.#forgetFile();
    autosave.resumed(opened, () => this.startAgain());
    if (view === null) return;
    if (scene.overview?.windows.some((w) => w.id === view.window)) viewpoint.windowId = view.window;
    if (view.mode === 'appearance' || view.mode === 'colour_true') picture.setMode(view.mode);
    if (scene.overview?.places.some((place) => place.name === view.place)) viewpoint.setPlace(view.place);
  }

  #another(change: (engine: PageEngine) => void, listed: (faults: Fault[]) => FaultList, origin: Origin): void {
    if (this.#instead(change, listed)) this.#opened(origin);
  }

  /** Opens a scene. If it is refused nothing changes; otherwise the previous scene is kept completely. */
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
        : `“${previous.head.name}” was not kept: it exists only on this page, until another scene is opened.`,
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
    // Saves the scene as it is now, whatever is opened or changed while the browser asks where to save it.
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
      // The user cancelled the browser's dialog.
      if (error instanceof DOMException && error.name === 'AbortError') return;
      this.#forgetFile();
      notices.faults = {
        title: 'The scene was not saved',
        sentence: 'It is still on the page. Save it again, in another place if this one cannot be written.',
        faults:
          error instanceof SceneFaults
            ? error.faults
            : [{ path: suggestedName, expected: 'a file that can be written', found: messageOf(error) }],
      };
    }
  }
}

export const files = new SceneFiles();
