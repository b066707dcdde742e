// The interface of picture drivers: requests for pictures, drawn by the graphics card or by the processor.
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

/** A request as the module reads it; `gamut` if no canvas decides it. */
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
  /** A picture of the request is on the screen, perhaps a coarse one. */
  shown(): void;
  drawn(at: string, revision: number): void;
  /** The device or the instance is gone: make a new canvas element and attach again. */
  lost(cause: unknown): void;
  /** The request was refused, such as for an hour outside the calendar; another one may succeed. */
  failed(cause: unknown): void;
}

/** Draws on a canvas element. */
export interface Drawer {
  /** The graphics interface used, in words. */
  backend(): string;
  gamut(): Gamut;
  /** Draws before the next repaint; asking twice draws once. While the page is hidden nothing is drawn. */
  request(): void;
  /** The edit that led to a revision of the document. */
  follow(edit: string, revision: number): void;
  /** A preview of an edit. Another preview or `forget` follows. */
  preview(edit: string): void;
  /** Ends the preview: the scene is that of the document again. */
  forget(): void;
  close(): void;
}
