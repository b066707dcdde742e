// A new window, from a drawing or by its measurements, until it is lit.
import type { Site, WorkingPlane } from '../engine/contract';
import type { Working } from '../engine/throwaway';
import { dialogs } from './dialogs.svelte';
import { DrawingSource } from './drawing-source.svelte';
import { files } from './files.svelte';
import { lineCheck } from './line-check.svelte';
import { OpeningSource } from './opening-source.svelte';
import type { WindowSource } from './window-source';

/** What the scene starts with; what is null is assumed. */
interface Stands {
  site: Site | null;
  facingDeg: number | null;
  sillM: number | null;
  /** Undefined until it is chosen; null for a person. */
  plane?: WorkingPlane | null;
}

const ASSUMED: Stands = { site: null, facingDeg: null, sillM: null };

const LIGHTING = { scene: 'Making the scene …', light: 'Letting in the light …' };

class NewWindow {
  readonly drawing = new DrawingSource(() => this.#halt());
  readonly opening = new OpeningSource(() => this.#halt());
  /** Null until one of the two is chosen. */
  from = $state<'drawing' | 'opening' | null>(null);
  /** Null until it is given a name of its own. */
  name = $state<string | null>(null);
  stands = $state.raw<Stands>(ASSUMED);
  /** A file is being dragged over the page. */
  dragged = $state(false);

  #lighting = $state<keyof typeof LIGHTING | null>(null);
  #working: Working<string> | null = null;
  /** Counts what has been begun or stopped. */
  #turn = 0;

  readonly source: WindowSource | null = $derived(this.from === null ? null : this[this.from]);
  /** What is being done, in words. */
  readonly doing: string | null = $derived(
    this.#lighting === null ? (this.source?.doing ?? null) : LIGHTING[this.#lighting],
  );
  readonly ready: boolean = $derived(this.source?.ready === true && this.doing === null);

  open(): void {
    dialogs.open = 'new-window';
  }

  /** Takes a drawing; the questions about it begin anew. */
  take(file: File): void {
    this.open();
    this.from = 'drawing';
    this.drawing.take(file);
  }

  /** Goes on with measurements. */
  measure(): void {
    this.stop();
    this.from = 'opening';
    this.opening.begin();
  }

  /** Makes a scene of the window and opens it. */
  async light(): Promise<void> {
    const { source } = this;
    if (source === null || this.#lighting !== null) return;
    const asked = this.#turn;
    // The press that lights it may have taken the focus from a field, which has it read or drawn again.
    await source.settled();
    if (asked !== this.#turn || source !== this.source || !this.ready) return;
    const { places } = source;
    this.#halt();
    const turn = this.#turn;
    this.#lighting = 'scene';
    const { site, facingDeg, sillM, plane = null } = this.stands;
    const given = this.name?.trim() ?? '';
    const name = given === '' ? source.usualName : given;
    try {
      const working = source.scene({
        name,
        at: null,
        site,
        facing_deg: facingDeg,
        sill_height_m: sillM,
        working_plane: plane,
      });
      this.#working = working;
      const text = await working.done;
      if (turn !== this.#turn) return;
      this.#lighting = 'light';
      const opened = await files.openNew(name, text);
      if (turn !== this.#turn) return;
      this.#lighting = null;
      if (opened) {
        dialogs.open = null;
        this.opening.clear();
        lineCheck.lit(places);
      }
    } catch (error) {
      if (turn !== this.#turn) return;
      this.#lighting = null;
      source.failed(error);
    }
  }

  /** Stops what is being done. */
  stop(): void {
    this.#halt();
    this.source?.stop();
    // A drawing that was never read is none.
    if (this.from === 'drawing' && this.drawing.file === null) this.from = null;
  }

  /** The dialog has been closed. */
  closed(): void {
    this.#halt();
    this.drawing.clear();
    this.opening.rest();
    [this.from, this.name, this.stands] = [null, null, ASSUMED];
  }

  /** Stops the lighting. */
  #halt(): void {
    this.#turn += 1;
    this.#working?.stop();
    this.#working = null;
    if (this.#lighting === 'light') files.stop();
    this.#lighting = null;
  }
}

export const newWindow = new NewWindow();
files.takeDrawing = (file) => newWindow.take(file);
