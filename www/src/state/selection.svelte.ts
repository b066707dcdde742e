// The selected pieces, in the order of selection, and their section. The last one is the primary, whose section is
// shown.
import type { Section } from '../engine/contract';
import { clock } from './clock.svelte';
import { scene } from './scene.svelte';
import type { Point } from './view.svelte';
import { viewpoint } from './viewpoint.svelte';

class Selection {
  pieces = $state.raw<readonly number[]>([]);
  readonly primary: number | null = $derived(this.pieces.at(-1) ?? null);
  /** A press adds a piece or removes it, as with Shift held: for use without a keyboard. */
  several = $state(false);
  section = $state.raw<Section | null>(null);

  /** Called when the selection has changed: by the user, or because the window no longer has a piece. */
  changed: (byReader: boolean) => void = () => undefined;

  #frame = 0;

  /** Selects only this piece; null clears the selection. */
  choose(piece: number | null): void {
    this.#put(piece === null ? [] : [piece]);
  }

  /** A plain press: one of several selected pieces shows its section and stays among them; any other is selected alone. */
  press(piece: number | null): void {
    if (piece !== null && this.pieces.length > 1 && this.pieces.includes(piece))
      this.chooseMany([...this.pieces.filter((id) => id !== piece), piece]);
    else this.choose(piece);
  }

  /** Adds a piece, or removes it if it is already selected. */
  toggle(piece: number): void {
    this.#put(this.pieces.includes(piece) ? this.pieces.filter((id) => id !== piece) : [...this.pieces, piece]);
  }

  /** Selects only these pieces; with `add`, in addition to those already selected. */
  chooseMany(pieces: readonly number[], add = false): void {
    this.#put([...new Set([...(add ? this.pieces : []), ...pieces])]);
  }

  chooseAll(): void {
    this.chooseMany(viewpoint.window?.pieces.map((piece) => piece.id) ?? []);
  }

  /** Selects the primary and all pieces of its glass, or of its colour in the light of the scene's hour. */
  chooseSimilar(what: 'glass' | 'colour'): void {
    const { primary } = this;
    if (primary === null || viewpoint.window === null) return;
    const found = scene.similarPieces(viewpoint.window.id, primary, what);
    if (found !== null) this.chooseMany([...found.filter((id) => id !== primary), primary]);
  }

  /** Selects the pieces inside a closed outline, mm with y down; with `add`, in addition to those already selected. */
  chooseInside(outline: readonly Point[], add = false): void {
    if (viewpoint.window === null) return;
    const found = scene.piecesInside(viewpoint.window.id, outline);
    if (found !== null) this.chooseMany(found, add);
  }

  /** Removes pieces that the window no longer has. */
  follow(): void {
    const there = new Set(viewpoint.window?.pieces.map((piece) => piece.id));
    if (this.pieces.some((id) => !there.has(id)))
      this.#put(
        this.pieces.filter((id) => there.has(id)),
        false,
      );
  }

  readSection(): void {
    cancelAnimationFrame(this.#frame);
    this.section =
      this.pieces.length === 0 || viewpoint.window === null
        ? null
        : (scene.section(viewpoint.window.id, this.pieces, clock.at) ?? this.section);
  }

  /** The layers are shown in the light of the hour; while the hour is dragged, they update once a frame. */
  readSectionSoon(): void {
    cancelAnimationFrame(this.#frame);
    if (this.pieces.length > 0) this.#frame = requestAnimationFrame(() => this.readSection());
  }

  #put(pieces: readonly number[], byReader = true): void {
    this.pieces = pieces;
    this.readSection();
    this.changed(byReader);
  }
}

export const selection = new Selection();
