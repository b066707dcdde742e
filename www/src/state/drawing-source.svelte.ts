// A new window from a drawing: how its file is read, and what was read.
import type { CheckedDrawing, DrawingLayer, DrawingOptions, DrawingPlace, Role, WindowStart } from '../engine/contract';
import { SceneFaults, messageOf } from '../engine/faults';
import { checkDrawing, drawingWidths, sceneOfDrawing } from '../engine/new-window';
import type { Working } from '../engine/throwaway';
import { asksWidth, lacksWidth, nameOf, refusal } from './drawing-words';
import { press } from './press.svelte';
import { saidWithLengths } from './units';
import type { WindowSource } from './window-source';

/** How a drawing is read. */
interface Asked {
  /** The real width, mm; null for the width that the file gives. */
  widthMm: number | null;
  /** What groups of shapes are taken as, where that differs from what was recognised. */
  roles: ReadonlyMap<number, Role>;
  seenFromOutside: boolean;
}

const AS_DRAWN: Asked = { widthMm: null, roles: new Map(), seenFromOutside: false };

export class DrawingSource implements WindowSource {
  file = $state.raw<File | null>(null);
  asked = $state.raw<Asked>(AS_DRAWN);
  /** The last reading. */
  window = $state.raw<CheckedDrawing | null>(null);
  /** The drawing gives no real size, or an impossible one. */
  needsWidth = $state(false);
  /** The drawing gives no real size. */
  lacksWidth = $state(false);
  /** The least and the most of its real width, mm; null until they are known. */
  widths = $state.raw<readonly [number, number] | null>(null);
  /** Why it was refused, in sentences. */
  refused = $state.raw<readonly string[]>([]);
  #reading = $state(false);

  /** How `window` was read. */
  #read: Asked = AS_DRAWN;
  #working: Working<unknown> | null = null;
  #checked: Promise<void> = Promise.resolve();
  /** Closing the dialog has stopped a reading. */
  #rested = false;

  readonly usualName: string = $derived(this.file === null ? '' : nameOf(this.file.name));
  readonly places: readonly DrawingPlace[] = $derived(this.window?.places ?? []);
  readonly doing: string | null = $derived(this.#reading ? 'Reading the drawing …' : null);
  readonly ready: boolean = $derived(
    this.window !== null && this.refused.length === 0 && !this.needsWidth && !this.#reading,
  );

  /** `changes`: called before another drawing, or another reading of it, is begun. */
  constructor(private readonly changes: () => void) {}

  /** Takes a drawing; the questions begin anew. */
  take(file: File): void {
    this.clear();
    this.file = file;
    this.#checked = this.#check();
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

  settled(): Promise<void> {
    return this.#checked;
  }

  /** The dialog has been closed: the drawing and the answers stay. */
  rest(): void {
    this.#rested ||= this.#reading;
    this.#halt();
  }

  /** The dialog is open again: reads on where closing it stopped a reading. */
  resume(): void {
    if (!this.#rested) return;
    this.#rested = false;
    this.#checked = this.#check();
  }

  /** The drawing stays as it was last read; one that never was is left out. */
  stop(): void {
    if (!this.#reading) return;
    this.#halt();
    if (this.window === null && !this.needsWidth) this.file = null;
    this.asked = this.#read;
    if (this.window !== null) [this.needsWidth, this.refused] = [false, []];
  }

  clear(): void {
    this.#halt();
    [this.file, this.window, this.refused, this.widths] = [null, null, [], null];
    [this.needsWidth, this.lacksWidth, this.#rested] = [false, false, false];
    [this.asked, this.#read] = [AS_DRAWN, AS_DRAWN];
  }

  scene(start: WindowStart): Working<string> {
    if (this.file === null) throw new Error('there is no drawing');
    return sceneOfDrawing(this.file, this.#options(), start);
  }

  #failed(error: unknown): void {
    if (error instanceof SceneFaults) {
      this.needsWidth = asksWidth(error.faults);
      this.lacksWidth = lacksWidth(error.faults);
      this.refused = refusal(error.faults, this.window !== null, saidWithLengths);
    } else {
      this.refused = [`The drawing could not be read (${messageOf(error)}). Choose it again.`];
    }
  }

  #halt(): void {
    this.#working?.stop();
    this.#working = null;
    this.#reading = false;
    // What was stopped never ends.
    this.#checked = Promise.resolve();
    this.changes();
  }

  #again(change: Partial<Asked>): boolean {
    if (this.file === null) return false;
    this.#halt();
    this.#rested = false;
    this.asked = { ...this.asked, ...change };
    this.#checked = this.#check();
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
    this.#reading = true;
    const working = checkDrawing(file, this.#options());
    this.#working = working;
    try {
      const window = await press.answered(working.done);
      if (this.#working !== working) return;
      [this.window, this.needsWidth, this.refused] = [window, false, []];
      this.widths = window.width_range_mm;
      this.#read = asked;
    } catch (error) {
      if (this.#working !== working) return;
      this.#failed(error);
      if (this.needsWidth && this.widths === null && !(await this.#findWidths(file))) return;
    }
    this.#reading = false;
  }

  /** Finds which real widths a drawing without one can have. Resolves to whether it is still what is being done. */
  async #findWidths(file: File): Promise<boolean> {
    const working = drawingWidths(file, this.#options());
    this.#working = working;
    try {
      const widths = await working.done;
      if (this.#working === working) this.widths = widths;
    } catch {
      // What makes no window at any width is refused at the first that is entered.
    }
    return this.#working === working;
  }
}
