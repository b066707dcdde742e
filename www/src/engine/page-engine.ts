// The document on the page's thread, with the journal from which it is built again when its instance traps.
import type {
  Change,
  Changed,
  Choices,
  DemoName,
  Edit,
  GlassFamily,
  Glue,
  Made,
  Overview,
  SceneDocument,
  SceneOverview,
  Section,
  SunPath,
  Surroundings,
  VariantAction,
  WindowShapes,
} from './contract';
import { touchesOnlyAttachments } from './attached';
import { calling } from './faults';
import { instantiate } from './module';
import { followPieces } from './pieces';
import { nextTurn } from './turn';

/** What a document is built from: the text of a file, or what `kept` gave. */
export type Source = { text: string } | { kept: string };

function documentOf(glue: Glue, source: Source): SceneDocument {
  return calling(() =>
    'text' in source ? new glue.SceneDocument(source.text) : glue.SceneDocument.restore(source.kept),
  );
}

const changedOf = (text: string | undefined): Changed | null =>
  text === undefined ? null : (JSON.parse(text) as Changed);

export class PageEngine {
  #glue: Glue;
  #document: SceneDocument;
  #source: Source;
  /** The actions since the source, as text. */
  #journal: string[] = [];
  /** The demo that it started with; null for a restored scene. */
  startedWith: string | null = null;
  /** Hears of every action as text, to keep it. */
  recorded: ((action: string) => void) | null = null;
  #revision = 0;
  /** The pieces of every window, kept in step with what actions change of them. */
  #windows: WindowShapes[] = [];

  private constructor(
    private readonly module: WebAssembly.Module,
    glue: Glue,
    document: SceneDocument,
    source: Source,
  ) {
    this.#glue = glue;
    this.#document = document;
    this.#source = source;
    this.#readWindows();
  }

  #readWindows(): void {
    this.#windows = JSON.parse(calling(() => this.#document.outlines())) as WindowShapes[];
  }

  /** An instance of the module with a demo scene in it; the first one where the id is not known. */
  static async start(module: WebAssembly.Module, demo: string | null): Promise<PageEngine> {
    const glue = await instantiate(module);
    const demos = JSON.parse(glue.demo_names()) as DemoName[];
    const id = demos.find((d) => d.id === demo)?.id ?? demos[0]?.id;
    if (id === undefined) throw new Error('The module holds no demo scene.');
    await nextTurn();
    const source = { text: calling(() => glue.demo(id)) };
    const engine = new PageEngine(module, glue, documentOf(glue, source), source);
    engine.startedWith = id;
    return engine;
  }

  /** Restores what was kept in this browser, a document and the actions since, completely or not at all. */
  static async resume(module: WebAssembly.Module, kept: string, actions: readonly string[]): Promise<PageEngine> {
    const glue = await instantiate(module);
    await nextTurn();
    const source = { kept };
    const engine = new PageEngine(module, glue, documentOf(glue, source), source);
    engine.#replay(actions);
    return engine;
  }

  /** Longest scene file that is read, bytes. */
  mostBytes(): number {
    return calling(() => this.#glue.most_bytes());
  }

  /** Counts every change of the document but those of its attachments, which show in neither figures nor picture. */
  get revision(): number {
    return this.#revision;
  }

  demos(): DemoName[] {
    return JSON.parse(calling(() => this.#glue.demo_names())) as DemoName[];
  }

  demo(id: string): string {
    return calling(() => this.#glue.demo(id));
  }

  /** Another scene. On an error the present one stays. */
  open(text: string): void {
    this.#take({ text }, []);
  }

  /** Another scene with its history, as it was kept. On an error the present one stays. */
  reopen(kept: string, actions: readonly string[] = []): void {
    this.#take({ kept }, actions);
  }

  #take(source: Source, actions: readonly string[]): void {
    const next = documentOf(this.#glue, source);
    try {
      for (const action of actions) calling(() => next.replay(action));
    } catch (error) {
      next.free();
      throw error;
    }
    this.#document.free();
    this.#document = next;
    this.#source = source;
    this.#journal = [...actions];
    this.#revision += 1;
    this.#readWindows();
  }

  #replay(actions: readonly string[]): void {
    for (const action of actions) calling(() => this.#document.replay(action));
    this.#journal.push(...actions);
    this.#revision += 1;
    if (actions.length > 0) this.#readWindows();
  }

  /** What the module answers to an action: the pieces follow, the journal keeps it. */
  #record(answer: string): Made {
    const made = JSON.parse(answer) as Made;
    if (!followPieces(this.#windows, made.windows)) this.#readWindows();
    this.#journal.push(made.action);
    if (!touchesOnlyAttachments(made.changes)) this.#revision += 1;
    this.recorded?.(made.action);
    return made;
  }

  /** The document with its history, as text; from here on the journal begins with it. */
  kept(): string {
    const kept = calling(() => this.#document.kept());
    this.#source = { kept };
    this.#journal = [];
    return kept;
  }

  apply(edit: Edit): Made {
    return this.#record(calling(() => this.#document.apply(JSON.stringify(edit))));
  }

  /** Does something with the variants. */
  vary(action: VariantAction): Made {
    return this.#record(calling(() => this.#document.vary(JSON.stringify(action))));
  }

  /** Undoes or redoes; undefined where there is nothing to step to. */
  step(which: 'undo' | 'redo'): Made | undefined {
    const answer = calling(() => this.#document[which]());
    return answer === undefined ? undefined : this.#record(answer);
  }

  undoWords(): string | null {
    return calling(() => this.#document.undo_words()) ?? null;
  }

  redoWords(): string | null {
    return calling(() => this.#document.redo_words()) ?? null;
  }

  canUndo(): boolean {
    return calling(() => this.#document.can_undo());
  }

  canRedo(): boolean {
    return calling(() => this.#document.can_redo());
  }

  /** The scene file. */
  text(): string {
    return calling(() => this.#document.text());
  }

  /** What is shown as a scene of its own, for a copy elsewhere. */
  shownText(): string {
    return calling(() => this.#document.shown_text());
  }

  /** The scene at a glance, with the pieces of its windows. */
  overview(): Overview {
    const overview = JSON.parse(calling(() => this.#document.overview())) as SceneOverview;
    const none: WindowShapes = { opening: '', pieces: [] };
    const windows = overview.windows.map((window, index) => ({ ...window, ...(this.#windows[index] ?? none) }));
    return { ...overview, windows };
  }

  surroundings(): Surroundings {
    return JSON.parse(calling(() => this.#document.surroundings())) as Surroundings;
  }

  choices(): Choices {
    return JSON.parse(calling(() => this.#glue.choices())) as Choices;
  }

  sunPath(date: string): SunPath {
    return JSON.parse(calling(() => this.#document.sun_path(date))) as SunPath;
  }

  pieceAt(window: string, xMm: number, yMm: number): number | undefined {
    return calling(() => this.#document.piece_at(window, xMm, yMm));
  }

  /** The piece and those similar to it. */
  similarPieces(window: string, piece: number, what: 'glass' | 'colour'): number[] {
    return [...calling(() => this.#document.similar_pieces(window, piece, what))];
  }

  /** Those whose middle lies inside a closed outline. */
  piecesInside(window: string, outline: readonly (readonly [number, number])[]): number[] {
    return [...calling(() => this.#document.pieces_inside(window, new Float64Array(outline.flat())))];
  }

  /** These pieces from outside to inside, in the light of an hour. */
  section(window: string, pieces: readonly number[], at: string): Section {
    return JSON.parse(calling(() => this.#document.section(window, JSON.stringify(pieces), at))) as Section;
  }

  /** Every glass at a thickness, in the light of an hour. */
  glasses(at: string, thicknessMm: number): GlassFamily[] {
    return JSON.parse(calling(() => this.#document.glasses(at, thicknessMm))) as GlassFamily[];
  }

  /** What a change of pieces comes to; null where it changes nothing. The edit is not made yet. */
  change(window: string, pieces: readonly number[], change: Change): Changed | null {
    return changedOf(calling(() => this.#document.change(window, JSON.stringify(pieces), JSON.stringify(change))));
  }

  /** Another glass wherever a glass is, in a window or in all; as `change`. */
  replaceGlass(from: string, to: string, window: string | null): Changed | null {
    return changedOf(calling(() => this.#document.replace_glass(from, to, window)));
  }

  piecesWithGlass(glass: string, window: string | null): number {
    return calling(() => this.#document.pieces_with_glass(glass, window));
  }

  /** A fresh instance with the same document and the same history. */
  async rebuild(): Promise<void> {
    const glue = await instantiate(this.module);
    const document = documentOf(glue, this.#source);
    for (const action of this.#journal) calling(() => document.replay(action));
    this.#glue = glue;
    this.#document = document;
    this.#revision += 1;
    this.#readWindows();
  }
}
