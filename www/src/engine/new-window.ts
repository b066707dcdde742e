// Windows from drawings and from measurements, from the page's side.
import wasmUrl from '../pkg/new_window/new_window_bg.wasm?url';
import { compiledPart } from './compiled-part';
import type {
  CheckedDrawing,
  CheckedLines,
  CheckedOpening,
  DrawingOptions,
  Measurements,
  WindowStart,
} from './contract';
import { Lasting } from './lasting';
import type { NewWindowCalls } from './messages';
import { throwaway, type Working } from './throwaway';

const compiled = compiledPart(wasmUrl, 'the part of the page for new windows');
const make = (): Worker => new Worker(new URL('./new-window.worker.ts', import.meta.url), { type: 'module' });
const work = throwaway<NewWindowCalls>(compiled, make);

/** Checks the lines of a window of a scene. Ends at most `withinMm` from another line can be mended. */
export const checkLines = (text: string, window: string, withinMm: number): Working<CheckedLines> =>
  work((host) => host.ask('lines', { text, window, withinMm }));

/** Reads a drawing. */
export const checkDrawing = (file: File, options: DrawingOptions): Working<CheckedDrawing> =>
  work((host) => host.ask('check', { file, options }));

/** The least and the most real width of a drawing that has none, or an impossible one, mm. */
export const drawingWidths = (file: File, options: DrawingOptions): Working<readonly [number, number]> =>
  work((host) => host.ask('widths', { file, options }));

/** The text of the scene file around a drawing. */
export const sceneOfDrawing = (file: File, options: DrawingOptions, start: WindowStart): Working<string> =>
  work((host) => host.ask('scene', { file, options, start }));

/** The text of the scene file around an opening. */
export const sceneOfOpening = (measurements: Measurements, start: WindowStart): Working<string> =>
  work((host) => host.ask('sceneOfOpening', { measurements, start }));

/** Draws one opening after another. */
export class OpeningDrawer {
  #lasting = new Lasting<NewWindowCalls>(compiled, make);

  /** Never settles after `stop`. */
  draw(measurements: Measurements): Promise<CheckedOpening> {
    return this.#lasting.ask((host) => host.ask('checkOpening', measurements));
  }

  stop(): void {
    this.#lasting.stop();
  }
}
