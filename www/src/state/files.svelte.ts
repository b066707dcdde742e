// Opens and saves demos, files and kept scenes. Opening a scene never loses the previous one.
import { isDrawing } from '../engine/bytes';
import type { Fault } from '../engine/contract';
import { demoOrFirst, fetchDemo } from '../engine/demos';
import { SceneFaults, messageOf } from '../engine/faults';
import { Outdated } from '../engine/fetch-part';
import { readSceneFile, type Doing, type Reading } from '../engine/open-file';
import type { Origin } from '../engine/scene-store';
import { PageEngine } from '../engine/page-engine';
import { attachments } from './attachments.svelte';
import { contents } from './contents';
import { plainName } from './download';
import { left } from './autosave-lines';
import { autosave } from './autosave.svelte';
import { beginWith, type Begun, type First } from './first-scene';
import type { Opened } from './kept';
import { notices, type FaultList } from './notices.svelte';
import { picture } from './picture.svelte';
import { saveScene } from './save-scene.svelte';
import { scene } from './scene.svelte';
import { viewpoint } from './viewpoint.svelte';

class SceneFiles {
  origin = $state.raw<Origin>({ kind: 'demo', id: '' });
  /** The demo that is open; null for a file. */
  readonly demo = $derived(this.origin.kind === 'demo' ? this.origin.id : null);
  /** The file being checked before it is opened. */
  checking = $state.raw<{ name: string; doing: Doing } | null>(null);

  /** Begins with a scene; null unless the page has none to begin with. */
  beginWith = $state.raw<((first: First) => Promise<void>) | null>(null);
  module: WebAssembly.Module | null = null;

  /** Asks the user for a file. */
  choose: () => void = () => undefined;
  /** Takes a drawing for a new window. */
  takeDrawing: (file: File) => void = () => undefined;

  #engine: PageEngine | null = null;
  #check: Reading | null = null;
  /** Counts what the reader asks to open: what arrives after the next one was asked for is not opened. */
  #turn = 0;

  /** An engine with the scene found. */
  async begin(module: WebAssembly.Module, found: First, asked: string | null): Promise<Begun> {
    const begun = await beginWith(module, found, asked);
    const { engine } = begun;
    this.#engine = engine;
    engine.recorded = (action) => autosave.record(action);
    autosave.follow({
      kept: () => engine.kept(),
      name: () => scene.overview?.name ?? '',
      attached: () => attachments.list.map((one) => one.hash),
    });
    autosave.back = () => void this.back();
    return begun;
  }

  /** The page shows its first scene. */
  started({ opened, origin }: Begun): void {
    if (opened === null) this.#opened(origin);
    else this.#resumed(opened);
  }

  async openDemo(id: string): Promise<void> {
    this.stop();
    const listed = (faults: Fault[]): FaultList => ({
      title: 'This demo was not opened',
      sentence: 'The scene on the page has not changed.',
      faults,
    });
    const turn = this.#turn;
    let text: string;
    try {
      text = await fetchDemo(id);
    } catch (error) {
      const expected =
        error instanceof Outdated
          ? 'a demo of the version of the page that is open'
          : 'a demo that can be fetched: check the network and try again';
      if (turn === this.#turn) notices.faults = listed([{ path: '', expected, found: messageOf(error) }]);
      return;
    }
    if (turn === this.#turn) this.#another((engine) => engine.open(text), listed, { kind: 'demo', id });
  }

  /** The demo that the scene was made from, as it was; the first one where it came from a file. */
  startAgain(): void {
    void this.openDemo(demoOrFirst(this.demo));
  }

  /** Opens a scene file; a drawing is taken for a new window. */
  async openFile(file: File): Promise<void> {
    if (isDrawing(file)) {
      this.takeDrawing(file);
      return;
    }
    const unchanged = this.#engine === null ? '' : 'The scene on the page has not changed. ';
    const listed = (faults: Fault[]): FaultList => {
      const count = faults.length === 1 ? 'a fault' : `${faults.length} faults`;
      const isOther = faults.every(({ path }) => path === '');
      const sentence = isOther
        ? `${file.name} could not be read as a scene. ${unchanged}`.trim()
        : `${file.name} has ${count}. ${unchanged}Correct what is listed and open the file again.`;
      return { title: 'This file was not opened', sentence, faults };
    };
    await this.#openText(file, listed, { kind: 'file', name: file.name });
  }

  /** Opens a new scene from its text. Resolves to whether it is open. */
  openNew(name: string, text: string): Promise<boolean> {
    const file = new File([text], `${plainName(name)}.json`);
    const listed = (faults: Fault[]): FaultList => ({
      title: 'This window was not lit',
      sentence: 'Nothing on the page has changed. Correct what is listed and try again.',
      faults,
    });
    return this.#openText(file, listed, { kind: 'file', name: file.name, made: true });
  }

  async #openText(file: File, listed: (faults: Fault[]) => FaultList, origin: Origin): Promise<boolean> {
    const [module, engine, begin] = [this.module, this.#engine, this.beginWith];
    if (module === null || (engine === null && begin === null)) {
      const sentence = 'The page has not started yet. Wait a moment and try again, or load the page again.';
      notices.faults = { title: listed([]).title, sentence, faults: [] };
      return false;
    }
    this.stop();
    this.checking = { name: file.name, doing: 'reading' };
    const turn = this.#turn;
    const mostBytes = engine?.mostBytes() ?? (await PageEngine.mostBytes(module));
    if (turn !== this.#turn) return false;
    const check = readSceneFile(module, file, mostBytes, (doing) => {
      if (this.#check === check) this.checking = { name: file.name, doing };
    });
    this.#check = check;
    try {
      const { text, contents: unpacked } = await check.scene;
      // Before anything refers to them.
      const why = this.#check === check ? await contents.put(unpacked) : null;
      if (this.#check !== check) return false;
      contents.filed(unpacked.map(({ hash }) => hash));
      let opened = true;
      if (engine === null) await begin?.({ kind: 'text', origin, text });
      else opened = this.#another((open) => open.open(text), listed, origin);
      if (why !== null) notices.line = `The attachments could not be kept in this browser (${why}): the file has them.`;
      return opened;
    } catch (error) {
      if (this.#check !== check) return false;
      const faults =
        error instanceof SceneFaults
          ? error.faults
          : [{ path: '', expected: 'a file that can be read', found: messageOf(error) }];
      notices.faults = listed(faults);
      return false;
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
    await this.#reopen(autosave.fetch(id));
  }

  /** Opens the scene that was on the page before this one. */
  async back(): Promise<void> {
    this.stop();
    await this.#reopen(autosave.takeBack());
  }

  async #reopen(fetched: Promise<Opened | null>): Promise<void> {
    const turn = this.#turn;
    const opened = await fetched;
    if (opened === null) return;
    if (turn !== this.#turn) {
      opened.release?.();
      return;
    }
    if (this.beginWith !== null) {
      await this.beginWith({ kind: 'kept', opened });
      return;
    }
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
    saveScene.forget();
    autosave.resumed(opened, () => this.startAgain());
    if (view === null) return;
    if (scene.overview?.windows.some((w) => w.id === view.window)) viewpoint.windowId = view.window;
    if (view.mode === 'appearance' || view.mode === 'colour_true') picture.setMode(view.mode);
    if (scene.overview?.places.some((place) => place.name === view.place)) viewpoint.setPlace(view.place);
  }

  #another(change: (engine: PageEngine) => void, listed: (faults: Fault[]) => FaultList, origin: Origin): boolean {
    const done = this.#instead(change, listed);
    if (done) this.#opened(origin);
    return done;
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
    saveScene.forget();
    autosave.opened(origin);
    const { previous } = autosave;
    if (previous !== null) autosave.line = left(previous.head, previous.held, () => autosave.back());
  }

  // ---- Saving ----------------------------------------------------------------------------------------------------

  /** Name of the file to which Save writes without asking. */
  get savesTo(): string | null {
    return saveScene.savesTo;
  }

  /** Saves to the chosen file, or asks for one; `another`: asks in any case. */
  async save(another = false): Promise<void> {
    scene.before();
    if (this.#engine !== null) await saveScene.save(this.#engine.text(), another);
  }
}

export const files = new SceneFiles();
