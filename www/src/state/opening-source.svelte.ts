// A new window by the measurements of its opening, drawn anew as they change.
import type { DrawnOpening, OpeningFault, WindowStart } from '../engine/contract';
import { messageOf } from '../engine/faults';
import { OpeningDrawer, sceneOfOpening } from '../engine/new-window';
import type { Working } from '../engine/throwaway';
import { SHAPES, measurementsOf, usualForm, type OpeningForm } from './opening-form';
import { fieldOf, wordsOf } from './opening-words';
import { press } from './press.svelte';
import { preferences } from './preferences.svelte';
import type { WindowSource } from './window-source';

/** A drawing that takes longer than this is announced and can be stopped, ms. */
const SLOW_MS = 400;

export class OpeningSource implements WindowSource {
  form = $state.raw<OpeningForm>(usualForm(preferences.system));
  /** The window as it was last drawn, which may be of other measurements than those in the form. */
  window = $state.raw<DrawnOpening | null>(null);
  /** The measurements of `window`. */
  drawnForm = $state.raw<OpeningForm>(this.form);
  /** Why the measurements are impossible. */
  faults = $state.raw<readonly OpeningFault[]>([]);
  /** Why the window could not be drawn although its measurements may be possible. */
  trouble = $state<string | null>(null);
  #slow = $state(false);
  /** Closing the dialog has stopped a drawing. */
  #rested = $state(false);

  /** What the form began with. */
  #usual = $state.raw<OpeningForm>(this.form);
  #drawer = new OpeningDrawer();
  #drawing = false;
  #drawn: Promise<void> = Promise.resolve();
  /** The form has changed since the drawing in progress was begun. */
  #stale = false;
  /** Counts the stops. */
  #turn = 0;

  /** None: leads that are drawn by the module all meet. */
  readonly places = [];
  readonly usualName: string = $derived(SHAPES.find(({ value }) => value === this.form.shape)?.name ?? '');
  readonly doing: string | null = $derived(this.#slow ? 'Drawing the window …' : null);
  readonly ready: boolean = $derived(this.window !== null && this.faults.length === 0 && this.trouble === null);
  /**
   * Whether `window` is not that of the measurements in the form: impossible ones, or not drawn yet. A drawing that
   * follows at once does not count, so that the window does not flicker while measurements change.
   */
  readonly stale: boolean = $derived(
    this.faults.length > 0 || this.trouble !== null || (this.drawnForm !== this.form && (this.#slow || this.#rested)),
  );
  /** The rise of the pointed head as it was last drawn, mm; null if another shape was. */
  readonly pointRiseMm: number | null = $derived(
    this.drawnForm.shape === 'pointed' ? (this.window?.rise_mm ?? null) : null,
  );

  /** `changes`: called before the window is drawn anew. */
  constructor(private readonly changes: () => void) {}

  begin(): void {
    // The units may have been changed since the page was loaded.
    if (this.window === null && this.form === this.#usual) this.form = this.#usual = usualForm(preferences.system);
    else if (this.window !== null && this.drawnForm === this.form && this.trouble === null) return;
    this.set({});
  }

  set(change: Partial<OpeningForm>): boolean {
    this.changes();
    this.form = { ...this.form, ...change };
    this.#rested = false;
    if (this.#drawing) this.#stale = true;
    else this.#drawn = this.#draw();
    return true;
  }

  /** Whether a measurement is still what the form began with. */
  isAssumed(name: keyof OpeningForm): boolean {
    return this.form[name] === this.#usual[name];
  }

  /** What is wrong with a measurement, or with a part such as `filling`, in words; null if nothing is. */
  faultAt(field: string, label: string): string | null {
    const fault = this.faults.find((one) => fieldOf(one) === field);
    return fault === undefined ? null : wordsOf(fault, label, preferences.system);
  }

  settled(): Promise<void> {
    return this.#drawn;
  }

  stop(): void {
    if (!this.#drawing) return;
    this.#halt();
    this.trouble = 'The drawing was stopped. It begins again when a measurement is changed.';
  }

  rest(): void {
    this.#rested ||= this.#drawing;
    this.#halt();
  }

  resume(): void {
    if (this.#rested) this.set({});
  }

  clear(): void {
    this.#halt();
    this.form = this.#usual = usualForm(preferences.system);
    [this.window, this.drawnForm] = [null, this.form];
    [this.faults, this.trouble, this.#rested] = [[], null, false];
  }

  scene(start: WindowStart): Working<string> {
    return sceneOfOpening(measurementsOf(this.form), start);
  }

  #halt(): void {
    this.#turn += 1;
    this.#drawer.stop();
    [this.#drawing, this.#stale, this.#slow] = [false, false, false];
    // What was stopped never ends.
    this.#drawn = Promise.resolve();
  }

  async #draw(): Promise<void> {
    const turn = this.#turn;
    this.#drawing = true;
    const waiting = setTimeout(() => {
      if (turn === this.#turn) this.#slow = this.#drawing;
    }, SLOW_MS);
    do {
      this.#stale = false;
      const { form } = this;
      try {
        const { drawn, faults } = await press.answered(this.#drawer.draw(measurementsOf(form)));
        if (turn !== this.#turn) return;
        if (drawn !== null) [this.window, this.drawnForm] = [drawn, form];
        [this.faults, this.trouble] = [faults, null];
      } catch (error) {
        if (turn !== this.#turn) return;
        this.faults = [];
        this.trouble = `The window could not be drawn (${messageOf(error)}). Change a measurement to draw it again.`;
      }
    } while (this.#stale);
    clearTimeout(waiting);
    [this.#drawing, this.#slow] = [false, false];
  }
}
