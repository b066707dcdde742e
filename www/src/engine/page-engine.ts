// The document on the page's thread, with the journal from which it is rebuilt if its instance traps.
import type {
  Change,
  Changed,
  Choices,
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

/** The source of a document: the text of a file, or the result of `kept`. */
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
  /** Called with every action as text, for autosave. */
  recorded: ((action: string) => void) | null = null;
  #revision = 0;
  /** The pieces of every window, updated with every action. */
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

  /** An instance of the module with a scene file in it. */
  static async start(module: WebAssembly.Module, text: string): Promise<PageEngine> {
    const glue = await instantiate(module);
    await nextTurn();
    const source = { text };
    return new PageEngine(module, glue, documentOf(glue, source), source);
  }

  /** Restores a document and the actions since, as kept in this browser, completely or not at all. */
  static async resume(module: WebAssembly.Module, kept: string, actions: readonly string[]): Promise<PageEngine> {
    const glue = await instantiate(module);
    await nextTurn();
    const source = { kept };
    const engine = new PageEngine(module, glue, documentOf(glue, source), source);
    engine.#replay(actions);
    return engine;
  }

  /** Longest scene file that is read, bytes, before there is a scene. */
  static async mostBytes(module: WebAssembly.Module): Promise<number> {
    const glue = await instantiate(module);
    return calling(() => glue.most_bytes());
  }

  /** Longest scene file that is read, bytes. */
  mostBytes(): number {
    return calling(() => this.#glue.most_bytes());
  }

  /** Counts every change of the document but those of its attachments, which show in neither figures nor picture. */
  get revision(): number {
    return this.#revision;
  }

  /** Opens another scene. On an error the current one stays. */
  open(text: string): void {
    this.#take({ text }, []);
  }

  /** Opens another kept scene with its history. On an error the current one stays. */
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

  /** Handles the module's answer to an action: updates the pieces and adds the action to the journal. */
  #record(answer: string): Made {
    const made = JSON.parse(answer) as Made;
    if (!followPieces(this.#windows, made.windows)) this.#readWindows();
    this.#journal.push(made.action);
    if (!touchesOnlyAttachments(made.changes)) this.#revision += 1;
    this.recorded?.(made.action);
    return made;
  }

  /** The document with its history, as text. The journal starts again from it. */
  kept(): string {
    const kept = calling(() => this.#document.kept());
    this.#source = { kept };
    this.#journal = [];
    return kept;
  }

  apply(edit: Edit): Made {
    return this.#record(calling(() => this.#document.apply(JSON.stringify(edit))));
  }

  /** Performs an action on the variants. */
  vary(action: VariantAction): Made {
    return this.#record(calling(() => this.#document.vary(JSON.stringify(action))));
  }

  /** Undoes or redoes; undefined if there is nothing to undo or redo. */
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

  /** What is shown, as a separate scene for a worker's copy. */
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

  /** The piece that a place sees at a point of a window. */
  pieceAt(window: string, [xMm, yMm]: readonly [number, number], place: string): number | undefined {
    return calling(() => this.#document.piece_at(window, xMm, yMm, place));
  }

  /** The piece and those similar to it. */
  similarPieces(window: string, piece: number, what: 'glass' | 'colour'): number[] {
    return [...calling(() => this.#document.similar_pieces(window, piece, what))];
  }

  /** The pieces whose middle lies inside a closed outline. */
  piecesInside(window: string, outline: readonly (readonly [number, number])[]): number[] {
    return [...calling(() => this.#document.pieces_inside(window, new Float64Array(outline.flat())))];
  }

  /** The section of these pieces from outside to inside, in the light of an hour. */
  section(window: string, pieces: readonly number[], at: string): Section {
    return JSON.parse(calling(() => this.#document.section(window, JSON.stringify(pieces), at))) as Section;
  }

  /** Every glass at a thickness, in the light of an hour. */
  glasses(at: string, thicknessMm: number): GlassFamily[] {
    return JSON.parse(calling(() => this.#document.glasses(at, thicknessMm))) as GlassFamily[];
  }

  /** The edit for a change of pieces, not yet applied; null if it changes nothing. */
  change(window: string, pieces: readonly number[], change: Change): Changed | null {
    return changedOf(calling(() => this.#document.change(window, JSON.stringify(pieces), JSON.stringify(change))));
  }

  /** The edit that replaces a glass everywhere, in one window or in all; otherwise as `change`. */
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
