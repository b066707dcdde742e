// The lines of the window that is open, checked: what should be looked at, and the edits that mend open ends.
import type { CheckedLines, DrawingPlace, Edit, LinePlace } from '../engine/contract';
import { SceneFaults, messageOf } from '../engine/faults';
import { checkLines } from '../engine/new-window';
import type { Working } from '../engine/throwaway';
import { autosave } from './autosave.svelte';
import { MOST_PLACES, counted, toLookAt } from './drawing-words';
import { MM_PER_INCH } from './lengths';
import { press } from './press.svelte';
import { preferences } from './preferences.svelte';
import { scene } from './scene.svelte';
import { side } from './side.svelte';
import { viewpoint } from './viewpoint.svelte';

/** The tolerance until another is chosen, mm: half the face of a usual lead, a round one in either system. */
const USUAL_MM = { metric: 3, feet: MM_PER_INCH / 8 };

export type ListedPlace = LinePlace | DrawingPlace;

class LineCheck {
  /** The last check; null before the first. */
  found = $state.raw<CheckedLines | null>(null);
  /** Why the last check failed; null if it did not. */
  failed = $state<string | null>(null);
  reading = $state(false);
  /** Ends at most this far from another line are joined, mm. */
  withinMm = $state<number>(USUAL_MM[preferences.system]);
  /**
   * What only the file of the open window’s drawing had: what was not understood, and gaps in its edge, which have been
   * closed; not kept with the scene.
   */
  unread = $state.raw<readonly DrawingPlace[]>([]);
  /** Index of the place that is pointed at in the list. */
  pointed = $state<number | null>(null);

  #working: Working<unknown> | null = null;

  readonly #places: readonly ListedPlace[] = $derived(
    this.found === null ? [] : [...this.found.places, ...this.unread],
  );
  /** What is listed and marked, in the order of the numbers. */
  readonly listed: readonly ListedPlace[] = $derived(this.#places.slice(0, MOST_PLACES));
  /** How many places are neither listed nor marked. */
  readonly unlisted: number = $derived(this.#places.length - this.listed.length);
  readonly mendable: readonly LinePlace[] = $derived((this.found?.places ?? []).filter(({ mend }) => mend !== null));

  open(): void {
    side.open('lines');
    this.#read();
  }

  setWithin(mm: number): boolean {
    this.withinMm = mm;
    this.#read();
    return true;
  }

  /** Checks again, after a check that failed. */
  retry(): void {
    this.#read();
  }

  /** Checks the lines, if they are shown. */
  follow(): void {
    if (side.panel === 'lines') this.#read();
  }

  /** Another scene has been opened. */
  opened(): void {
    this.#halt();
    [this.found, this.failed, this.unread] = [null, null, []];
    this.follow();
  }

  /** A window has been lit whose drawing has these places to look at. */
  lit(places: readonly DrawingPlace[]): void {
    // A shape drawn twice was taken once: the window has no trace of it.
    this.unread = places.filter(({ kind }) => kind === 'not_understood' || kind === 'open_end');
    const left = toLookAt(places).filter(({ kind }) => kind !== 'duplicate').length;
    if (left === 0) return;
    const { line } = autosave;
    const words = `${counted(left, 'place', 'places')} in the drawing to look at.`;
    autosave.line = {
      words: line === null ? words : `${words} ${line.words}`,
      actions: [{ label: 'Show', act: () => this.open() }, ...(line?.actions ?? [])],
    };
  }

  mend(place: LinePlace): boolean {
    return this.#make(place.mend);
  }

  mendAll(): boolean {
    return this.#make(this.found?.mend_all ?? null);
  }

  /** An edit found in lines that have changed since would undo that change. */
  #make(edit: Edit | null): boolean {
    return edit !== null && !this.reading && scene.edit(edit);
  }

  #halt(): void {
    this.#working?.stop();
    this.#working = null;
    this.reading = false;
  }

  #read(): void {
    this.#halt();
    const { window } = viewpoint;
    if (window === null) return;
    const working = checkLines(scene.shownText(), window.id, this.withinMm);
    this.#working = working;
    this.reading = true;
    press.answered(working.done).then(
      (found) => this.#answered(working, found, null),
      (error: unknown) => this.#answered(working, null, reasonOf(error)),
    );
  }

  #answered(working: Working<unknown>, found: CheckedLines | null, failed: string | null): void {
    if (this.#working !== working) return;
    this.#working = null;
    [this.found, this.failed, this.reading] = [found, failed, false];
    // An end that is open in the window, too, is listed once, and no more when it is mended.
    if (found !== null) this.unread = this.unread.filter((place) => !found.places.some((one) => isAt(one, place)));
  }
}

/** Whether two places are one, to a millimetre. */
const isAt = ({ at_mm: [x, y] }: ListedPlace, { at_mm: [otherX, otherY] }: ListedPlace): boolean =>
  Math.hypot(x - otherX, y - otherY) < 1;

function reasonOf(error: unknown): string {
  if (!(error instanceof SceneFaults)) return messageOf(error);
  return error.faults.map(({ expected, found }) => `expected ${expected}, found ${found}`).join('; ');
}

export const lineCheck = new LineCheck();
