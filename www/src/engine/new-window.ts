// Drawings for new windows, from the page's side.
import wasmUrl from '../pkg/new_window/new_window_bg.wasm?url';
import type { CheckedDrawing, DrawingOptions, WindowStart } from './contract';
import type { NewWindowCalls } from './messages';
import { throwaway, type Working } from './throwaway';

const work = throwaway<NewWindowCalls>(
  wasmUrl,
  'the part of the page for drawings',
  () => new Worker(new URL('./new-window.worker.ts', import.meta.url), { type: 'module' }),
);

/** Reads a drawing. */
export const checkDrawing = (file: File, options: DrawingOptions): Working<CheckedDrawing> =>
  work((host) => host.ask('check', { file, options }));

/** The text of the scene file around a drawing. */
export const sceneOfDrawing = (file: File, options: DrawingOptions, start: WindowStart): Working<string> =>
  work((host) => host.ask('scene', { file, options, start }));
