// The page's side of the worker that draws the window by the graphics card: tells it what is wanted, once a frame.
import type { Gamut, PictureMode, PictureRequest } from './contract';
import { SceneFaults } from './faults';
import type { FromPicture, ToPicture } from './messages';
import { whenShown } from './when-shown';

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
export function wishOf(wanted: Wanted, gamut?: Gamut): string {
  return JSON.stringify({
    window: wanted.window,
    place: wanted.place,
    at: wanted.at,
    mode: wanted.mode,
    mark_unshowable: wanted.markUnshowable,
    ...(gamut === undefined ? {} : { gamut }),
    width_px: wanted.widthPx,
    height_px: wanted.heightPx,
    centre_x_mm: wanted.centreMm[0],
    centre_y_mm: wanted.centreMm[1],
    mm_per_px: wanted.mmPerPx,
  } satisfies PictureRequest);
}

export interface PictureEvents {
  /** Something of what is wanted is on the screen, be it coarse. */
  shown(): void;
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
  /** An edit by which the document has come to a revision. */
  follow(edit: string, revision: number): void;
  /** An edit that is still in the hand. Another follows, or `forget`. */
  preview(edit: string): void;
  /** What was in the hand is let go: the scene is what the document says. */
  forget(): void;
  close(): void;
}

const start = (): Worker => new Worker(new URL('./picture.worker.ts', import.meta.url), { type: 'module' });
/** Started before there is anything to draw: starting takes as long as fetching the module. */
let spare: Worker | null = null;

export class PictureDriver implements Drawer {
  #frame = 0;
  #closed = false;
  /** What the worker's copy of the scene is; null before it has one, or where it may be out of step. */
  #revision: number | null = null;
  #id = 0;
  /** What was asked for last. */
  #sent: Wanted | null = null;
  #unlisten: () => void;

  private constructor(
    private readonly worker: Worker,
    private readonly through: { backend: string; gamut: Gamut },
    private readonly text: () => string,
    early: Promise<number>,
    private readonly wanted: () => Wanted | null,
    private readonly events: PictureEvents,
  ) {
    worker.onmessage = ({ data }: MessageEvent<FromPicture>) => this.#hear(data);
    worker.onerror = (event) => this.#lost(event.message);
    this.#unlisten = whenShown(() => this.request());
    void early.then((revision) => {
      // The first window and place are what a page usually opens with.
      if (this.#revision !== null || this.#closed) return;
      this.#revision = revision;
      this.#post({ kind: 'open', text: this.text(), window: '', place: '' });
    });
  }

  /** Starts a worker for the first picture. */
  static prepare(): void {
    if (spare !== null) return;
    spare = start();
    // The next one says why it could not be loaded.
    spare.onerror = () => (spare = null);
  }

  /** `text`: the scene as it is shown; `early`: its revision, once there is one. Resolves to null where the browser has no GPU interface at all. */
  static attach(
    module: WebAssembly.Module,
    canvas: HTMLCanvasElement,
    prefer: string,
    text: () => string,
    early: Promise<number>,
    wanted: () => Wanted | null,
    events: PictureEvents,
  ): Promise<PictureDriver | null> {
    if (typeof canvas.transferControlToOffscreen !== 'function') return Promise.resolve(null);
    const worker = spare ?? start();
    spare = null;
    const offscreen = canvas.transferControlToOffscreen();
    const wide = matchMedia('(color-gamut: p3)').matches;
    const first: ToPicture = { kind: 'attach', module, canvas: offscreen, prefer, wide };
    worker.postMessage(first, [offscreen]);
    return new Promise((resolve, reject) => {
      worker.onmessage = ({ data }: MessageEvent<FromPicture>) => {
        if (data.kind === 'attached') {
          resolve(new PictureDriver(worker, data, text, early, wanted, events));
          return;
        }
        worker.terminate();
        if (data.kind === 'none') resolve(null);
        else reject(new Error('message' in data ? data.message : data.kind));
      };
      worker.onerror = (event) => {
        worker.terminate();
        reject(new Error(event.message || 'the worker could not be loaded'));
      };
    });
  }

  backend(): string {
    return this.through.backend;
  }

  gamut(): Gamut {
    return this.through.gamut;
  }

  request(): void {
    if (this.#frame !== 0 || this.#closed || document.hidden) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = 0;
      this.#send();
    });
  }

  follow(edit: string, revision: number): void {
    if (this.#revision !== revision - 1) return;
    this.#revision = revision;
    this.#post({ kind: 'apply', edit });
  }

  preview(edit: string): void {
    // Before the worker has a scene there is nothing to look at.
    if (this.#revision !== null) this.#post({ kind: 'preview', edit });
  }

  forget(): void {
    this.#revision = null;
  }

  close(): void {
    this.#closed = true;
    cancelAnimationFrame(this.#frame);
    this.#unlisten();
    this.worker.terminate();
  }

  #post(message: ToPicture): void {
    this.worker.postMessage(message);
  }

  #send(): void {
    const wanted = this.wanted();
    if (wanted === null || this.#closed || document.hidden) return;
    if (wanted.revision !== this.#revision) {
      this.#revision = wanted.revision;
      this.#post({ kind: 'open', text: this.text(), window: wanted.window, place: wanted.place });
    }
    this.#id += 1;
    this.#sent = wanted;
    this.#post({ kind: 'draw', id: this.#id, wish: wishOf(wanted) });
  }

  #hear(message: FromPicture): void {
    if (this.#closed) return;
    if (message.kind === 'lost') this.#lost(message.message);
    // Of an older wish nothing is said: the newest is what counts.
    if (!('id' in message) || message.id !== this.#id || this.#sent === null) return;
    if (message.kind === 'shown') this.events.shown();
    else if (message.kind === 'drawn') this.events.drawn(this.#sent.at, this.#sent.revision);
    else this.events.failed(new SceneFaults(message.faults));
  }

  #lost(why: string): void {
    if (!this.#closed) this.events.lost(new Error(why || 'the worker that draws stopped'));
  }
}
