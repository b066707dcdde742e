// The document: the open scene, what is read from it, its edits, its history and its variants. If an instance of the
// module traps, a new one is built with the same document.
import type {
  Change,
  Changed,
  Choices,
  Edit,
  Fault,
  GlassFamily,
  Made,
  Overview,
  Section,
  SunPath,
  Surroundings,
  VariantAction,
} from '../engine/contract';
import { SceneFaults, Trapped, messageOf } from '../engine/faults';
import type { PageEngine } from '../engine/page-engine';
import { changesSurroundings, type Changes } from './changes';
import { notices, type FaultList } from './notices.svelte';

/** Null where the faults are said elsewhere. */
type Listed = (faults: Fault[]) => FaultList | null;
type Point = readonly [number, number];

const refused =
  (title: string): Listed =>
  (faults) => ({ title, sentence: 'The scene has not changed.', faults });

const NOT_DONE = refused('This cannot be done');
const NOT_CHANGED = refused('This change cannot be made');
const NOT_VARIED = refused('This variant cannot be shown');

class Scene {
  choices = $state.raw<Choices | null>(null);
  overview = $state.raw<Overview | null>(null);
  surroundings = $state.raw<Surroundings | null>(null);
  canUndo = $state(false);
  canRedo = $state(false);
  /** What undo would undo: "glass of piece 84". */
  undoWords = $state<string | null>(null);
  redoWords = $state<string | null>(null);

  /** Called before an action, so that pending previews are applied first. */
  before: () => void = () => undefined;
  /** Called when another scene has been opened. */
  opened: () => void = () => undefined;
  /** Called when the scene has changed; `made` is the edit for copies of it, null if they are still up to date. */
  changed: (changes: Changes, made: string | null) => void = () => undefined;

  #engine: PageEngine | null = null;
  #rebuilding = false;
  /** Everyone has been told of the scene that is open. */
  #shown = false;

  /** Takes the engine with the scene that the page opens with. */
  begin(engine: PageEngine): void {
    this.#engine = engine;
    this.choices = engine.choices();
  }

  /** Counts the scenes that have been opened. */
  opening = 0;

  /** Reads the first scene. */
  show(): void {
    this.opening += 1;
    this.#read('everything');
    this.#shown = true;
    this.opened();
    performance.mark('scene opened');
  }

  /** Opens another scene. On an error the current one stays, and the faults are listed. */
  open(change: (engine: PageEngine) => void, listed: Listed): boolean {
    if (!this.#acting(change, listed)) return false;
    // From here on it is the scene that is open, even where the first look at it stops the engine.
    this.#shown = false;
    this.#acting(() => this.show());
    return true;
  }

  // ---- Edits -----------------------------------------------------------------------------------------------------

  edit(edit: Edit): boolean {
    this.before();
    return this.#edit(edit);
  }

  /** The same; a refusal is given to `refused`, which says it beside the field, and is not listed. */
  editOr(edit: Edit, refused: (faults: Fault[]) => void): boolean {
    this.before();
    return this.#edit(edit, (faults) => {
      refused(faults);
      return null;
    });
  }

  /** Sets the scene's hour. */
  setAt(at: string): boolean {
    return this.#edit({ edit: 'set_at', at });
  }

  /** Performs an action on the variants, or shows another one. */
  vary(action: VariantAction): boolean {
    this.before();
    return this.#acting((engine) => this.#made(engine.vary(action)), NOT_VARIED);
  }

  step(which: 'undo' | 'redo'): void {
    this.before();
    this.#acting((engine) => {
      const made = engine.step(which);
      if (made !== undefined) this.#made(made);
    });
  }

  /** Changes what pieces are made of, in one edit. Returns the result; null if nothing changed. */
  changePieces(window: string, pieces: readonly number[], change: Change): Changed | null {
    return this.#change((engine) => engine.change(window, pieces, change));
  }

  /** Replaces a glass everywhere, in one window or in all, in one edit. */
  replaceGlass(from: string, to: string, window: string | null): Changed | null {
    return this.#change((engine) => engine.replaceGlass(from, to, window));
  }

  #edit(edit: Edit, listed = NOT_CHANGED): boolean {
    return this.#acting((engine) => this.#made(engine.apply(edit)), listed);
  }

  #change(work: (engine: PageEngine) => Changed | null): Changed | null {
    const changed = this.#asking(work, null, NOT_CHANGED);
    return changed !== null && this.edit(changed.edit) ? changed : null;
  }

  #made({ edit, changes }: Made): void {
    this.#read(changes);
    this.changed(changes, JSON.stringify(edit));
  }

  /** Reads again what an action touched. */
  #read(changes: Changes): void {
    const engine = this.#engine;
    if (engine === null) return;
    // Every action changes the overview, if only a variant's number of differences. Shapes are kept while they are
    // valid.
    this.overview = engine.overview();
    this.canUndo = engine.canUndo();
    this.canRedo = engine.canRedo();
    this.undoWords = engine.undoWords();
    this.redoWords = engine.redoWords();
    if (changesSurroundings(changes)) this.surroundings = engine.surroundings();
    const said = this.overview.notices;
    notices.line = said.length > 0 ? `${said.join(' ')} One undo reverses it.` : null;
  }

  // ---- Questions -------------------------------------------------------------------------------------------------

  /** What is shown, as a separate scene for a worker's copy; empty before there is a scene. */
  shownText(): string {
    return this.#engine?.shownText() ?? '';
  }

  /** Counts what `PageEngine.revision` does; null before there is a document. */
  revision(): number | null {
    return this.#engine?.revision ?? null;
  }

  /** The sun's path on a date; null if it is not known. */
  sunPath(date: string): SunPath | null {
    try {
      return this.#engine?.sunPath(date) ?? null;
    } catch (error) {
      if (error instanceof Trapped) void this.#rebuild();
      return null;
    }
  }

  /** The piece that a place sees at a point of a window. */
  pieceAt(window: string, at: Point, place: string): number | null {
    return this.#asking((engine) => engine.pieceAt(window, at, place) ?? null, null);
  }

  similarPieces(window: string, piece: number, what: 'glass' | 'colour'): number[] | null {
    return this.#asking<number[] | null>((engine) => engine.similarPieces(window, piece, what), null);
  }

  piecesInside(window: string, outline: readonly Point[]): number[] | null {
    return this.#asking<number[] | null>((engine) => engine.piecesInside(window, outline), null);
  }

  piecesWithGlass(glass: string, window: string | null): number {
    this.#follow();
    return this.#asking((engine) => engine.piecesWithGlass(glass, window), 0);
  }

  /** The section of these pieces from outside to inside, in the light of an hour; null if it cannot be computed. */
  section(window: string, pieces: readonly number[], at: string): Section | null {
    return this.#asking((engine) => engine.section(window, pieces, at), null);
  }

  /** Every glass at a thickness, in the light of an hour. */
  glassesAt(at: string, thicknessMm: number): GlassFamily[] {
    this.#follow();
    return this.#asking((engine) => engine.glasses(at, thicknessMm), []);
  }

  /** Anything derived from a question updates with every change of the scene. */
  #follow(): void {
    void this.overview;
  }

  #asking<Answer>(question: (engine: PageEngine) => Answer, otherwise: Answer, listed?: Listed): Answer {
    let answer = otherwise;
    this.#acting((engine) => {
      answer = question(engine);
    }, listed);
    return answer;
  }

  // ---- Refusals and traps ----------------------------------------------------------------------------------------

  #acting(action: (engine: PageEngine) => void, listed: Listed = NOT_DONE): boolean {
    if (this.#engine === null || this.#rebuilding) return false;
    try {
      action(this.#engine);
      return true;
    } catch (error) {
      if (error instanceof SceneFaults) notices.faults = listed(error.faults);
      else if (error instanceof Trapped) void this.#rebuild();
      else throw error;
      return false;
    }
  }

  async #rebuild(): Promise<void> {
    if (this.#engine === null || this.#rebuilding) return;
    this.#rebuilding = true;
    try {
      await this.#engine.rebuild();
      this.#rebuilding = false;
      if (this.#shown) {
        this.#read('everything');
        this.changed({}, null);
      } else {
        this.show();
      }
      notices.line = 'The last action stopped the page’s engine. It was restarted from your scene and its edits.';
    } catch (error) {
      notices.broken = messageOf(error);
    } finally {
      this.#rebuilding = false;
    }
  }
}

export const scene = new Scene();
