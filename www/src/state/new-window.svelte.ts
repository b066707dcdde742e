// A new window, from a drawing or by its measurements, until it is lit.
import { SceneFaults, messageOf } from '../engine/faults';
import type { Working } from '../engine/throwaway';
import { dialogs } from './dialogs.svelte';
import { DrawingSource } from './drawing-source.svelte';
import { files } from './files.svelte';
import { lineCheck } from './line-check.svelte';
import { OpeningSource } from './opening-source.svelte';
import { ASSUMED, noting, siteToTell, type Stands } from './stands';
import { saidWithLengths } from './units';
import type { WindowSource } from './window-source';

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
  /** Why the last attempt to light the window failed, in sentences, until something else is begun. */
  failed = $state.raw<readonly string[]>([]);

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

  /** Shows the window that was begun, if there is one. */
  open(): void {
    if (dialogs.open === 'new-window') return;
    dialogs.open = 'new-window';
    this.source?.resume();
  }

  /** Takes a drawing; the questions about it begin anew, and those about the place too if it is another window's. */
  take(file: File): void {
    if (dialogs.open !== 'new-window') this.startOver();
    dialogs.open = 'new-window';
    this.from = 'drawing';
    this.drawing.take(file);
  }

  /** Goes back to the drawing that was taken. */
  useDrawing(): void {
    if (this.drawing.file === null) return;
    this.#halt();
    this.opening.rest();
    this.from = 'drawing';
    this.drawing.resume();
  }

  /** Goes on with measurements. */
  measure(): void {
    this.#halt();
    this.drawing.rest();
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
    const { places, window } = source;
    if (window === null) return;
    this.#halt();
    const turn = this.#turn;
    this.#lighting = 'scene';
    const { stands } = this;
    const { facingDeg, sillM, plane = null } = stands;
    const given = this.name?.trim() ?? '';
    const name = given === '' ? source.usualName : given;
    try {
      const working = source.scene({
        name,
        at: null,
        site: siteToTell(stands, window.usual.site),
        facing_deg: facingDeg,
        sill_height_m: sillM,
        working_plane: plane,
      });
      this.#working = working;
      const text = noting(await working.done, stands);
      if (turn !== this.#turn) return;
      this.#lighting = 'light';
      const opened = await files.openNew(name, text);
      if (turn !== this.#turn) return;
      this.#lighting = null;
      if (opened) {
        dialogs.open = null;
        this.startOver();
        lineCheck.lit(places);
      }
    } catch (error) {
      if (turn !== this.#turn) return;
      this.#lighting = null;
      this.failed =
        error instanceof SceneFaults
          ? error.faults.map(({ expected, found }) => saidWithLengths(`Expected ${expected}; found ${found}.`))
          : [`The window could not be lit (${messageOf(error)}). Try again.`];
    }
  }

  /** Stops what is being done. */
  stop(): void {
    this.#halt();
    this.source?.stop();
    // A drawing whose first reading was stopped has been left out: both ways to begin are open again.
    if (this.from === 'drawing' && this.drawing.file === null) this.from = null;
  }

  /** The dialog has been closed: everything that was entered is there when it is opened again. */
  closed(): void {
    this.#halt();
    this.source?.rest();
  }

  /** Forgets everything that was entered. */
  startOver(): void {
    this.#halt();
    this.drawing.clear();
    this.opening.clear();
    [this.from, this.name, this.stands] = [null, null, ASSUMED];
  }

  /** Stops the lighting, before something else is done. */
  #halt(): void {
    this.failed = [];
    this.#turn += 1;
    this.#working?.stop();
    this.#working = null;
    if (this.#lighting === 'light') files.stop();
    this.#lighting = null;
  }
}

export const newWindow = new NewWindow();
files.takeDrawing = (file) => newWindow.take(file);
