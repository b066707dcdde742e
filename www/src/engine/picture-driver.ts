// The page's side of the worker that draws the window with the graphics card: sends it a request once a frame.
import type { Gamut } from './contract';
import { requestOf, type Drawer, type DrawingEvents, type Wanted } from './drawing';
import { SceneFaults } from './faults';
import type { PictureCalls } from './messages';
import { whenShown } from './when-shown';
import { WorkerHost } from './worker-host';

// A canvas transferred to a worker cannot be used again: after a trap this driver does not retry.
const host = (): WorkerHost<PictureCalls> =>
  new WorkerHost(() => new Worker(new URL('./picture.worker.ts', import.meta.url), { type: 'module' }), 1);
/** Loaded before there is anything to draw, because loading takes as long as fetching the module. */
let spare: WorkerHost<PictureCalls> | null = null;

export class PictureDriver implements Drawer {
  #frame = 0;
  #closed = false;
  /** The revision of the worker's copy of the scene; null before it has one, or if it may be out of date. */
  #revision: number | null = null;
  /** Counts the requests; only the newest matters. */
  #nth = 0;
  #unlisten: () => void;

  private constructor(
    private readonly worker: WorkerHost<PictureCalls>,
    private readonly through: { backend: string; gamut: Gamut },
    private readonly text: () => string,
    early: Promise<number>,
    private readonly wanted: () => Wanted | null,
    private readonly events: DrawingEvents,
  ) {
    worker.stopped = (why) => {
      if (!this.#closed) this.events.lost(new Error(why || 'the worker that draws stopped'));
    };
    this.#unlisten = whenShown(() => this.request());
    void early.then((revision) => {
      // The page usually opens with the first window and place.
      if (this.#revision !== null || this.#closed) return;
      this.#revision = revision;
      worker.tell('open', { text: this.text(), window: '', place: '' });
    });
  }

  /** Starts a worker for the first picture. */
  static prepare(): void {
    if (spare !== null) return;
    spare = host();
    // The next worker reports why it could not be loaded.
    spare.stopped = () => (spare = null);
    spare.load();
  }

  /**
   * `text`: the scene as shown; `early`: its revision, once there is one. Resolves to null if the browser has no GPU
   * interface at all.
   */
  static async attach(
    module: WebAssembly.Module,
    canvas: HTMLCanvasElement,
    prefer: string,
    text: () => string,
    early: Promise<number>,
    wanted: () => Wanted | null,
    events: DrawingEvents,
  ): Promise<PictureDriver | null> {
    if (typeof canvas.transferControlToOffscreen !== 'function') return null;
    const worker = spare ?? host();
    spare = null;
    worker.stopped = () => undefined;
    worker.begin(module);
    const offscreen = canvas.transferControlToOffscreen();
    const wide = matchMedia('(color-gamut: p3)').matches;
    const attached = await worker.ask('attach', { canvas: offscreen, prefer, wide }, { transfer: [offscreen] });
    if (attached !== null) return new PictureDriver(worker, attached, text, early, wanted, events);
    worker.stop();
    return null;
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
    this.worker.tell('apply', edit);
  }

  preview(edit: string): void {
    // Before the worker has a scene there is nothing to prepare.
    if (this.#revision !== null) this.worker.tell('preview', edit);
  }

  forget(): void {
    this.#revision = null;
  }

  close(): void {
    this.#closed = true;
    cancelAnimationFrame(this.#frame);
    this.#unlisten();
    this.worker.stop();
  }

  #send(): void {
    const wanted = this.wanted();
    if (wanted === null || this.#closed || document.hidden) return;
    if (wanted.revision !== this.#revision) {
      this.#revision = wanted.revision;
      this.worker.tell('open', { text: this.text(), window: wanted.window, place: wanted.place });
    }
    const nth = (this.#nth += 1);
    const counts = (): boolean => nth === this.#nth && !this.#closed;
    const progress = (): void => {
      if (counts()) this.events.shown();
    };
    this.worker.ask('draw', requestOf(wanted), { progress }).then(
      (whole) => {
        // A newer request, not yet sent, has made this picture out of date.
        if (whole && counts() && this.#frame === 0) this.events.drawn(wanted.at, wanted.revision);
      },
      (error: unknown) => {
        // `stopped` handles a trap.
        if (error instanceof SceneFaults && counts()) this.events.failed(error);
      },
    );
  }
}
