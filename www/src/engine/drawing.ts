// What the page wants drawn, and what draws it: by the graphics card or by the processor.
import type { Gamut, PictureMode } from './contract';

export interface Wanted {
  revision: number;
  window: string;
  place: string;
  at: string;
  mode: PictureMode;
  markUnshowable: boolean;
  widthPx: number;
  heightPx: number;
  centreMm: readonly [number, number];
  mmPerPx: number;
}

/** As the module reads it; `gamut` where no canvas decides it. */
export function requestOf(wanted: Wanted, gamut?: Gamut): string {
  return JSON.stringify({
    window: wanted.window,
    place: wanted.place,
    at: wanted.at,
    mode: wanted.mode,
    mark_unshowable: wanted.markUnshowable,
    gamut,
    width_px: wanted.widthPx,
    height_px: wanted.heightPx,
    centre_x_mm: wanted.centreMm[0],
    centre_y_mm: wanted.centreMm[1],
    mm_per_px: wanted.mmPerPx,
  });
}

export interface DrawingEvents {
  /** Something of what is wanted is on the screen, be it coarse. */
  shown(): void;
  drawn(at: string, revision: number): void;
  /** The device or the instance is gone: make a new canvas element and attach again. */
  lost(cause: unknown): void;
  /** What is wanted was refused, such as an hour beyond the calendar; another request may go well. */
  failed(cause: unknown): void;
}

/** What draws on a canvas element. */
export interface Drawer {
  /** What it is drawn through, in words. */
  backend(): string;
  gamut(): Gamut;
  /** Draws before the next repaint; asking twice draws once. While the page is hidden nothing is drawn. */
  request(): void;
  /** An edit by which the document has come to a revision. */
  follow(edit: string, revision: number): void;
  /** An edit that is not made yet. Another follows, or `forget`. */
  preview(edit: string): void;
  /** The preview is over: the scene is what the document says. */
  forget(): void;
  close(): void;
}
