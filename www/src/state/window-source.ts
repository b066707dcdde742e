// Where a new window comes from: what a drawing and an opening by its measurements have in common.
import type { CheckedDrawing, DrawingPlace, WindowStart } from '../engine/contract';
import type { Working } from '../engine/throwaway';

/** What is known of a window before it is lit. */
export type KnownWindow = Pick<CheckedDrawing, 'width_mm' | 'height_mm' | 'usual'>;

export interface WindowSource {
  /** Null until it is known. */
  readonly window: KnownWindow | null;
  /** Places in it to look at. */
  readonly places: readonly DrawingPlace[];
  /** Whether there is a window to light, as asked for. */
  readonly ready: boolean;
  /** The name that the window gets unless it is given one. */
  readonly usualName: string;
  /** What is being done, in words. */
  readonly doing: string | null;
  /** Resolves once nothing is being done. */
  settled(): Promise<void>;
  /** Stops what is being done. */
  stop(): void;
  /** The dialog has been closed: stops what is being done, and keeps everything that was entered. */
  rest(): void;
  /** The dialog is open again: goes on with what closing it stopped. */
  resume(): void;
  /** Forgets everything. */
  clear(): void;
  /** The text of the scene file. Only where the source is ready. */
  scene(start: WindowStart): Working<string>;
}
