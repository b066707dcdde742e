// Which layer of the section is open, what has been copied, and the changes that the controls make.
import type {
  Change,
  Changed,
  Deposit,
  DepositChange,
  Face,
  GlassChoice,
  Layer,
  LayerKey,
  Makeup,
  PaintChange,
  ProtectiveGlazing,
  ScatteringChange,
  Section,
} from '../engine/contract';
import { copiedWords } from './copied-words';
import { nameOf, openLayer } from './open-layer';
import { notices } from './notices.svelte';
import { scene } from './scene.svelte';
import { selection } from './selection.svelte';
import { side } from './side.svelte';
import { viewpoint } from './viewpoint.svelte';

/**
 * What the list of glasses is open for: one plate, counted from the inside, or every piece that has the plate's glass.
 */
export interface Choosing {
  plate: number;
  glass: string | null;
  everywhere: boolean;
}

class Layers {
  /** The layer opened last; null if the user has closed all. */
  #opened = $state.raw<LayerKey | null>({ layer: 'plate', plate: 0 });
  choosing = $state.raw<Choosing | null>(null);
  copied = $state.raw<{ piece: number; makeup: Makeup; drawnShare: (number | null)[] } | null>(null);

  /** The name of the layer that is open in a section; null if none is. */
  openIn(section: Section): string | null {
    return openLayer(section.layers, this.#opened);
  }

  toggle(layer: Layer, section: Section): void {
    this.#opened = this.openIn(section) === nameOf(layer.key) ? null : layer.key;
  }

  /** Opens the list of glasses. */
  choose(choosing: Choosing): void {
    this.choosing = choosing;
    side.open('glasses');
  }

  /** Changes every selected piece that has the layer. The layer stays open under its new key. */
  change(change: Change): boolean {
    const changed = this.#change(change);
    if (changed === null) return false;
    if (changed.layer !== null) this.#opened = changed.layer;
    return true;
  }

  paint(layer: Layer, change: PaintChange): boolean {
    return this.change({ change: 'paint', paint: layer.key, ...change });
  }

  move(layer: Layer, toward: Face, past?: Layer): boolean {
    return this.change({ change: 'move', layer: layer.key, toward, ...(past === undefined ? {} : { past: past.key }) });
  }

  /** Adds, changes or removes the protective glazing of the window. */
  protect(glazing: ProtectiveGlazing | null): boolean {
    if (viewpoint.window === null) return false;
    if (glazing !== null) this.#opened = { layer: 'protective' };
    return scene.edit({ edit: 'set_protective_glazing', window: viewpoint.window.id, protective_glazing: glazing });
  }

  /** Adds usual dirt to a face of the selected pieces. */
  soil(face: Face): boolean {
    return this.change({ change: 'add_deposit', face });
  }

  /** Changes dirt or corrosion on a face of the selected pieces; each keeps what is not stated. */
  deposit(face: Face, change: DepositChange): boolean {
    return this.change({ change: 'deposit', face, ...change });
  }

  /** Changes how a layer of the selected pieces scatters; each keeps what is not stated. */
  scatter(layer: Layer, change: ScatteringChange): boolean {
    return this.change({ change: 'scattering', layer: layer.key, ...change });
  }

  /** The selected pieces again have what is on their window. */
  depositAsWindow(face: Face): boolean {
    return this.change({ change: 'deposit_as_window', face });
  }

  /** Dirt or corrosion on a face of all glass of the window; null: none. No piece then has any of its own there. */
  depositEverywhere(face: Face, deposit: Deposit | null): boolean {
    return this.change({ change: 'deposit_everywhere', face, deposit });
  }

  /** Applies a glass clicked in the list. */
  take(glass: GlassChoice): void {
    const choosing = this.choosing;
    if (choosing === null) return;
    if (!choosing.everywhere || choosing.glass === null) {
      if (this.#change({ change: 'glass', plate: choosing.plate, glass: glass.id }) !== null) {
        this.choosing = { ...choosing, glass: glass.id };
      }
    }
  }

  /** Replaces the glass in question everywhere, in this window or in all. */
  takeEverywhere(glass: GlassChoice, window: string | null): void {
    const choosing = this.choosing;
    if (choosing?.glass == null || glass.id === choosing.glass) return;
    const changed = scene.replaceGlass(choosing.glass, glass.id, window);
    if (changed === null) return;
    this.choosing = { ...choosing, glass: glass.id };
    notices.line = `${glass.name} is now in ${changed.pieces} more ${changed.pieces === 1 ? 'piece' : 'pieces'}; one undo reverses it.`;
  }

  copy(section: Section): void {
    this.copied = { piece: section.piece, makeup: section.makeup, drawnShare: section.drawn_share };
    notices.line = `The make-up of piece ${section.piece} is copied. Select other pieces, then apply it to them.`;
  }

  give(): void {
    if (this.copied === null) return;
    const { piece, makeup, drawnShare } = this.copied;
    const changed = this.#change({ change: 'makeup', makeup, drawn_share: drawnShare });
    notices.line = changed === null ? 'Nothing changes: this make-up is there already.' : copiedWords(changed, piece);
  }

  /** Changes the selected pieces in one edit. */
  #change(change: Change): Changed | null {
    if (viewpoint.window === null || selection.pieces.length === 0) return null;
    return scene.changePieces(viewpoint.window.id, selection.pieces, change);
  }
}

export const layers = new Layers();
