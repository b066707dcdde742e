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
} from './contract';
import { calling } from './faults';
import { instantiate } from './module';

/** An action since the last whole text: an edit, or a step in the history. */
type Action = { edit: string } | 'undo' | 'redo';

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
  #text: string;
  #journal: Action[] = [];
  #revision = 0;
  /** The shapes that came last, and what they are of. */
  #outlines: { of: SceneDocument; revision: number; shapes: WindowShapes[] } | null = null;

  private constructor(
    private readonly module: WebAssembly.Module,
    glue: Glue,
    document: SceneDocument,
    text: string,
  ) {
    this.#glue = glue;
    this.#document = document;
    this.#text = text;
  }

  /** An instance of the module with a demo scene in it; the first one where the id is not known. */
  static async start(module: WebAssembly.Module, demo: string | null): Promise<PageEngine> {
    const glue = await instantiate(module);
    const demos = JSON.parse(glue.demo_names()) as DemoName[];
    const id = demos.find((d) => d.id === demo)?.id ?? demos[0]?.id;
    if (id === undefined) throw new Error('The module holds no demo scene.');
    const text = calling(() => glue.demo(id));
    return new PageEngine(module, glue, calling(() => new glue.SceneDocument(text)), text);
  }

  /** What the picture is made with; another one after `rebuild`. */
  get glue(): Glue {
    return this.#glue;
  }

  get document(): SceneDocument {
    return this.#document;
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
    const next = calling(() => new this.#glue.SceneDocument(text));
    this.#document.free();
    this.#document = next;
    this.#text = text;
    this.#journal = [];
    this.#revision += 1;
  }

  /** Makes an edit; returns it as made, for the worker. */
  apply(edit: Edit): string {
    const made = calling(() => this.#document.apply(JSON.stringify(edit)));
    this.#journal.push({ edit: made });
    this.#revision += 1;
    return made;
  }

  /** Takes back or makes again; returns the edit that did so, undefined where there is none. */
  step(which: 'undo' | 'redo'): string | undefined {
    const made = calling(() => this.#document[which]());
    if (made !== undefined) {
      this.#journal.push(which);
      this.#revision += 1;
    }
    return made;
  }

  canUndo(): boolean {
    return calling(() => this.#document.can_undo());
  }

  canRedo(): boolean {
    return calling(() => this.#document.can_redo());
  }

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
    return changedOf(
      calling(() => this.#document.change(window, JSON.stringify(pieces), JSON.stringify(change))),
    );
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
    const document = calling(() => new glue.SceneDocument(this.#text));
    for (const action of this.#journal) {
      calling(() => {
        if (action === 'undo') document.undo();
        else if (action === 'redo') document.redo();
        else document.apply(action.edit);
      });
    }
    this.#glue = glue;
    this.#document = document;
    this.#revision += 1;
  }
}
