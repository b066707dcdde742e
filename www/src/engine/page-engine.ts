// The document on the page's thread, with the journal from which it is built again when its instance traps.
import type {
  Change,
  Changed,
  Choices,
  DemoName,
  Edit,
  GlassFamily,
  Glue,
  Overview,
  SceneDocument,
  Section,
  SunPath,
  Surroundings,
  Vary,
} from './contract';
import { calling } from './faults';
import { instantiate } from './module';
import { nextTurn } from './turn';

/** An action since the last whole text: an edit, something done with the variants, or a step in the history. */
type Action = { edit: string } | { vary: string } | 'undo' | 'redo';

/** What a document is built from: the text of a file, or what `kept` gave. */
export type Source = { text: string } | { kept: string };

function documentOf(glue: Glue, source: Source): SceneDocument {
  return calling(() =>
    'text' in source ? new glue.SceneDocument(source.text) : glue.SceneDocument.restore(source.kept),
  );
}

function replay(document: SceneDocument, action: Action): void {
  calling(() => {
    if (action === 'undo') document.undo();
    else if (action === 'redo') document.redo();
    else if ('vary' in action) document.vary(action.vary);
    else document.apply(action.edit);
  });
}

/** A window's shapes, its pieces in the order of the overview's. */
interface WindowShapes {
  opening: string;
  pieces: { path: string; centre_mm: [number, number] }[];
}

const changedOf = (text: string | undefined): Changed | null =>
  text === undefined ? null : (JSON.parse(text) as Changed);

export class PageEngine {
  #glue: Glue;
  #document: SceneDocument;
  #source: Source;
  #journal: Action[] = [];
  /** The demo that it started with; null for a restored scene. */
  startedWith: string | null = null;
  /** Hears of every action as text, to keep it. */
  recorded: ((action: string) => void) | null = null;
  #revision = 0;
  /** The shapes that came last, and what they are of. */
  #outlines: { of: SceneDocument; revision: number; shapes: WindowShapes[] } | null = null;

  private constructor(
    private readonly module: WebAssembly.Module,
    glue: Glue,
    document: SceneDocument,
    source: Source,
  ) {
    this.#glue = glue;
    this.#document = document;
    this.#source = source;
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
    for (const text of actions) engine.#replay(JSON.parse(text) as Action);
    return engine;
  }

  /** Longest scene file that is read, bytes. */
  mostBytes(): number {
    return calling(() => this.#glue.most_bytes());
  }

  /** Counts every change of the document. */
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
    const journal = actions.map((text) => JSON.parse(text) as Action);
    for (const action of journal) replay(next, action);
    this.#document.free();
    this.#document = next;
    this.#source = source;
    this.#journal = journal;
    this.#revision += 1;
  }

  #replay(action: Action): void {
    replay(this.#document, action);
    this.#journal.push(action);
    this.#revision += 1;
  }

  #record(action: Action): void {
    this.#journal.push(action);
    this.#revision += 1;
    this.recorded?.(JSON.stringify(action));
  }

  /** The document with its history, as text; from here on the journal begins with it. */
  kept(): string {
    const kept = calling(() => this.#document.kept());
    this.#source = { kept };
    this.#journal = [];
    return kept;
  }

  /** Makes an edit; returns the one for the worker's copy of what is shown. */
  apply(edit: Edit): string {
    const text = JSON.stringify(edit);
    const made = calling(() => this.#document.apply(text));
    this.#record({ edit: text });
    return made;
  }

  /** Does something with the variants; returns the edit for the worker. */
  vary(action: Vary): string {
    const text = JSON.stringify(action);
    const made = calling(() => this.#document.vary(text));
    this.#record({ vary: text });
    return made;
  }

  /** Undoes or redoes; returns the edit for the worker, undefined where there is none. */
  step(which: 'undo' | 'redo'): string | undefined {
    const made = calling(() => this.#document[which]());
    if (made !== undefined) this.#record(which);
    return made;
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

  /** The scene at a glance; its shapes are asked for only when they may have changed. */
  overview(): Overview {
    const overview = JSON.parse(calling(() => this.#document.overview())) as Overview;
    const revision = calling(() => this.#document.outlines_revision());
    if (this.#outlines === null || this.#outlines.of !== this.#document || this.#outlines.revision !== revision) {
      const shapes = JSON.parse(calling(() => this.#document.outlines())) as WindowShapes[];
      this.#outlines = { of: this.#document, revision, shapes };
    }
    const { shapes } = this.#outlines;
    for (const [w, window] of overview.windows.entries()) {
      const shape = shapes[w];
      if (shape === undefined) continue;
      window.opening = shape.opening;
      for (const [i, piece] of window.pieces.entries()) Object.assign(piece, shape.pieces[i]);
    }
    return overview;
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

  /** The piece and those like it; `deltaE` counts for the colour only. */
  piecesLike(window: string, piece: number, what: 'glass' | 'colour', deltaE: number): number[] {
    return [...calling(() => this.#document.pieces_like(window, piece, what, deltaE))];
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
    for (const action of this.#journal) replay(document, action);
    this.#glue = glue;
    this.#document = document;
    this.#revision += 1;
  }
}
