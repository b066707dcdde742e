// A new window from a drawing, until it is lit.
import type { CheckedDrawing, DrawingLayer, DrawingOptions, Role, Site } from '../engine/contract';
import { SceneFaults, messageOf } from '../engine/faults';
import { checkDrawing, sceneOfDrawing } from '../engine/new-window';
import type { Working } from '../engine/throwaway';
import { dialogs } from './dialogs.svelte';
import { asksWidth, nameOf, refusal } from './drawing-words';
import { files } from './files.svelte';

/** How a drawing is read. */
interface Asked {
  /** Null for the file's own. */
  widthMm: number | null;
  /** What groups of shapes are taken as, where that differs from what was recognised. */
  roles: ReadonlyMap<number, Role>;
  seenFromOutside: boolean;
}

const AS_DRAWN: Asked = { widthMm: null, roles: new Map(), seenFromOutside: false };

/** What the scene starts with; what is null is assumed. */
interface Stands {
  site: Site | null;
  facingDeg: number | null;
  sillM: number | null;
}

const ASSUMED: Stands = { site: null, facingDeg: null, sillM: null };

class NewWindow {
  file = $state.raw<File | null>(null);
  asked = $state.raw<Asked>(AS_DRAWN);
  /** The last reading of the drawing. */
  drawing = $state.raw<CheckedDrawing | null>(null);
  /** The drawing gives no real size, or an impossible one. */
  needsWidth = $state(false);
  /** Why it was refused, in sentences. */
  refused = $state.raw<readonly string[]>([]);
  doing = $state<'reading' | 'lighting' | 'opening' | null>(null);
  name = $state('');
  stands = $state.raw<Stands>(ASSUMED);
  /** A file is being dragged over the page. */
  dragged = $state(false);

  /** How `drawing` was read. */
  #read: Asked = AS_DRAWN;
  #working: Working<unknown> | null = null;
  /** Counts what has been begun or stopped. */
  #turn = 0;

  /** Whether there is a window to light, read as asked. */
  readonly ready: boolean = $derived(this.drawing !== null && this.refused.length === 0 && !this.needsWidth);

  open(): void {
    dialogs.open = 'new-window';
  }

  /** Takes a drawing; the questions begin anew. */
  take(file: File): void {
    this.open();
    this.#halt();
    const named = this.name !== '' && (this.file === null || this.name !== nameOf(this.file.name));
    if (!named) this.name = nameOf(file.name);
    this.file = file;
    [this.drawing, this.needsWidth, this.refused] = [null, false, []];
    [this.asked, this.#read] = [AS_DRAWN, AS_DRAWN];
    void this.#check();
  }

  setWidth(widthMm: number): boolean {
    return this.#again({ widthMm });
  }

  setSeenFromOutside(seenFromOutside: boolean): void {
    this.#again({ seenFromOutside });
  }

  setRole(layer: DrawingLayer, role: Role): void {
    this.#again({ roles: new Map([...this.asked.roles, ...layer.groups.map((group) => [group, role] as const)]) });
  }

  /** Makes a scene of the drawing and opens it. */
  async light(): Promise<void> {
    const { file } = this;
    if (file === null || !this.ready || this.doing !== null) return;
    this.#halt();
    const turn = this.#turn;
    this.doing = 'lighting';
    const { site, facingDeg, sillM } = this.stands;
    const name = this.name.trim() === '' ? nameOf(file.name) : this.name.trim();
    try {
      const start = { name, at: null, site, facing_deg: facingDeg, sill_height_m: sillM };
      const working = sceneOfDrawing(file, this.#options(), start);
      this.#working = working;
      const text = await working.done;
      if (turn !== this.#turn) return;
      this.doing = 'opening';
      const opened = await files.openNew(name, text);
      if (turn !== this.#turn) return;
      this.doing = null;
      if (opened) dialogs.open = null;
    } catch (error) {
      if (turn === this.#turn) this.#failed(error);
    }
  }

  /** Stops what is being done. The drawing stays as it was last read; one that never was is left out. */
  stop(): void {
    const { doing } = this;
    this.#halt();
    if (doing !== 'reading') return;
    if (this.drawing === null && !this.needsWidth) this.file = null;
    this.asked = this.#read;
    if (this.drawing !== null) [this.needsWidth, this.refused] = [false, []];
  }

  /** The dialog has been closed. */
  closed(): void {
    this.#halt();
    [this.file, this.drawing, this.needsWidth, this.refused] = [null, null, false, []];
    [this.asked, this.#read, this.name, this.stands] = [AS_DRAWN, AS_DRAWN, '', ASSUMED];
  }

  #halt(): void {
    this.#turn += 1;
    this.#working?.stop();
    this.#working = null;
    if (this.doing === 'opening') files.stop();
    this.doing = null;
  }

  #again(change: Partial<Asked>): boolean {
    if (this.file === null) return false;
    this.#halt();
    this.asked = { ...this.asked, ...change };
    void this.#check();
    return true;
  }

  #options(): DrawingOptions {
    const { widthMm, roles, seenFromOutside } = this.asked;
    return {
      width_mm: widthMm,
      roles: [...roles].map(([group, taken_as]) => ({ group, taken_as })),
      seen_from_outside: seenFromOutside,
    };
  }

  async #check(): Promise<void> {
    const { file, asked } = this;
    if (file === null) return;
    const turn = this.#turn;
    this.doing = 'reading';
    try {
      const working = checkDrawing(file, this.#options());
      this.#working = working;
      const drawing = await working.done;
      if (turn !== this.#turn) return;
      [this.drawing, this.needsWidth, this.refused, this.doing] = [drawing, false, [], null];
      this.#read = asked;
    } catch (error) {
      if (turn === this.#turn) this.#failed(error);
    }
  }

  #failed(error: unknown): void {
    this.doing = null;
    if (error instanceof SceneFaults) {
      this.needsWidth = asksWidth(error.faults);
      this.refused = refusal(error.faults);
    } else {
      this.refused = [`The drawing could not be read (${messageOf(error)}).`];
    }
  }
}

export const newWindow = new NewWindow();
files.takeDrawing = (file) => newWindow.take(file);
