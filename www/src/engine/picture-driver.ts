// Brings the picture from what it shows to what is wanted, once a frame: only what differs is sent.
import type { Gamut, Glue, Picture, PictureMode, SceneDocument } from './contract';
import { Trapped, asOurs } from './faults';
import { whenShown } from './when-shown';

/** A window is made ready in parts of about so long, between which the page does whatever else there is. */
const SLICE_MS = 30;

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

export interface PictureEvents {
  drawn(at: string, revision: number): void;
  /** The device or the instance is gone: make a new canvas element and attach again. */
  lost(cause: unknown): void;
  /** What is wanted was refused, such as an hour beyond the calendar; another wish may go well. */
  failed(cause: unknown): void;
}

/** What draws on a canvas element. */
export interface Drawer {
  /** What it is drawn through, in words. */
  backend(): string;
  gamut(): Gamut;
  /** Draws before the next repaint; asking twice draws once. While the page is hidden nothing is drawn. */
  request(): void;
  close(): void;
}

export class PictureDriver implements Drawer {
  #shown: Partial<Wanted> = {};
  #frame = 0;
  /** The next part of a window that is being made ready. */
  #next: ReturnType<typeof setTimeout> | undefined;
  #closed = false;
  #unlisten: () => void;

  private constructor(
    private readonly picture: Picture,
    private readonly canvas: HTMLCanvasElement,
    private readonly document: () => SceneDocument,
    private readonly wanted: () => Wanted | null,
    private readonly events: PictureEvents,
  ) {
    canvas.addEventListener('webglcontextlost', this.#onContextLost);
    this.#unlisten = whenShown(() => this.request());
  }

  /** Rejects where the browser has no GPU interface at all. */
  static async attach(
    glue: Glue,
    canvas: HTMLCanvasElement,
    prefer: string,
    document: () => SceneDocument,
    wanted: () => Wanted | null,
    events: PictureEvents,
  ): Promise<PictureDriver> {
    const picture = await glue.Picture.attach(canvas, prefer);
    return new PictureDriver(picture, canvas, document, wanted, events);
  }

  backend(): string {
    return this.picture.backend();
  }

  gamut(): Gamut {
    return this.picture.gamut() as Gamut;
  }

  request(): void {
    if (this.#frame !== 0 || this.#next !== undefined || this.#closed || document.hidden) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = 0;
      this.#draw();
    });
  }

  close(): void {
    this.#closed = true;
    cancelAnimationFrame(this.#frame);
    clearTimeout(this.#next);
    this.#unlisten();
    this.canvas.removeEventListener('webglcontextlost', this.#onContextLost);
    try {
      this.picture.free();
    } catch {
      // After a trap there is nothing left to free.
    }
  }

  #onContextLost = (): void => {
    // The module hears nothing of this itself.
    this.picture.mark_lost();
    if (!this.#closed) this.events.lost(new Error('the WebGL2 context was lost'));
  };

  #draw(): void {
    const wanted = this.wanted();
    if (wanted === null || this.#closed || document.hidden) return;
    const shown = this.#shown;
    try {
      if (this.picture.lost()) {
        this.events.lost(new Error('the graphics device was lost'));
        return;
      }
      if (wanted.widthPx !== shown.widthPx || wanted.heightPx !== shown.heightPx) {
        this.picture.resize(wanted.widthPx, wanted.heightPx);
      }
      if (
        wanted.revision !== shown.revision ||
        wanted.window !== shown.window ||
        wanted.place !== shown.place
      ) {
        this.picture.show(this.document(), wanted.window, wanted.place);
      }
      if (wanted.at !== shown.at) this.picture.set_at(wanted.at);
      const { revision, window, place, at } = wanted;
      this.#shown = { ...shown, revision, window, place, at };
      if (!this.picture.go_on(SLICE_MS)) {
        this.#next = setTimeout(() => {
          this.#next = undefined;
          this.#draw();
        });
        return;
      }
      if (wanted.mode !== shown.mode || wanted.markUnshowable !== shown.markUnshowable) {
        this.picture.set_look(JSON.stringify({ mode: wanted.mode, mark_unshowable: wanted.markUnshowable }));
      }
      this.picture.set_view(wanted.centreMm[0], wanted.centreMm[1], wanted.mmPerPx);
      this.picture.draw();
      this.#shown = { ...wanted };
    } catch (raw) {
      const error = asOurs(raw);
      // What the module holds may be half of what was wanted: everything is sent anew.
      this.#shown = {};
      if (error instanceof Trapped || this.#isLost()) this.events.lost(error);
      else this.events.failed(error);
      return;
    }
    this.events.drawn(wanted.at, wanted.revision);
  }

  #isLost(): boolean {
    try {
      return this.picture.lost();
    } catch {
      return true;
    }
  }
}
