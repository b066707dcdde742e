// The picture without a graphics card: drawn in a worker, coarse first, and passed to a 2D canvas part by part. A
// request is sent once the previous one has shown its coarsest picture, so dragging always shows something and never
// queues.
import type { Gamut } from './contract';
import { requestOf, type Drawer, type DrawingEvents, type Wanted } from './drawing';
import { SceneFaults } from './faults';
import type { PicturePart, SoftwareCalls } from './messages';
import { painter } from './painter';
import { whenShown } from './when-shown';
import type { WorkerHost } from './worker-host';

const TRAPS_BEFORE_GIVING_UP = 2;

export class SoftwareDriver implements Drawer {
  #worker: WorkerHost<SoftwareCalls> = painter(TRAPS_BEFORE_GIVING_UP);
  #context: CanvasRenderingContext2D;
  #colours: PredefinedColorSpace;
  #frame = 0;
  #closed = false;
  /** Counts the requests: only the newest one matters. */
  #nth = 0;
  /** A request was sent, and nothing has come back yet. */
  #waiting = false;
  /** Another request was made meanwhile. */
  #again = false;
  #revision: number | null = null;
  /** The request and the scene of the finished picture on the canvas, both without what does not show. */
  #shown: { request: string; scene: string } | null = null;
  #sentScene = '';
  #unlisten: () => void;

  /** `text`: the scene as shown. Throws if there is no 2D canvas either. */
  constructor(
    module: WebAssembly.Module,
    private readonly canvas: HTMLCanvasElement,
    private readonly text: () => string,
    private readonly wanted: () => Wanted | null,
    private readonly events: DrawingEvents,
  ) {
    this.#colours = matchMedia('(color-gamut: p3)').matches ? 'display-p3' : 'srgb';
    const context = canvas.getContext('2d', { alpha: false, colorSpace: this.#colours });
    if (context === null) throw new Error('this browser has no canvas to draw on');
    this.#context = context;
    // A fresh instance gets the current scene.
    this.#worker.begun = () => (this.#revision = null);
    this.#worker.stopped = (why, again) => {
      this.#waiting = false;
      if (again) this.#send();
      else this.events.lost(new Error(why));
    };
    this.#worker.begin(module);
    this.#unlisten = whenShown(
      () => this.request(),
      () => {
        // A request stopped before its first part gets no answer.
        this.#waiting = false;
        this.#worker.tell('stop', null);
      },
    );
  }

  backend(): string {
    return 'the processor';
  }

  gamut(): Gamut {
    return this.#colours === 'srgb' ? 'srgb' : 'display_p3';
  }

  request(): void {
    if (this.#frame !== 0 || this.#closed || document.hidden) return;
    this.#frame = requestAnimationFrame(() => {
      this.#frame = 0;
      if (this.#waiting) this.#again = true;
      else this.#send();
    });
  }

  // The complete scene is sent with the next request: the cost is negligible beside drawing. Previews are not drawn.
  follow(): void {}
  preview(): void {}
  forget(): void {}

  close(): void {
    this.#closed = true;
    cancelAnimationFrame(this.#frame);
    this.#unlisten();
    this.#worker.stop();
  }

  #send(): void {
    const wanted = this.wanted();
    if (wanted === null || this.#closed || document.hidden) return;
    const text = wanted.revision === this.#revision ? null : this.text();
    const scene = text === null ? this.#sentScene : withoutHour(text);
    const request = requestOf(wanted, this.gamut());
    if (this.#shown?.request === request && this.#shown.scene === scene) {
      // The hour was only applied to the scene: redrawing would show the coarse picture for nothing.
      this.#again = false;
      this.events.drawn(wanted.at, wanted.revision);
      return;
    }
    this.#shown = null;
    this.#sentScene = scene;
    this.#waiting = true;
    this.#again = false;
    this.#revision = wanted.revision;
    const nth = (this.#nth += 1);
    /** A part of the request has come; only the newest request matters. */
    const heard = (what: () => void): void => {
      if (nth !== this.#nth || this.#closed) return;
      this.#waiting = false;
      what();
      if (this.#again) this.#send();
    };
    const progress = (part: PicturePart): void =>
      heard(() => {
        this.#paint(part, wanted);
        this.events.shown();
      });
    this.#worker.ask('draw', { request, text }, { progress }).then(
      (whole) => {
        if (!whole) return;
        heard(() => {
          this.#shown = { request, scene };
          // A newer request, not yet sent, has made this picture out of date.
          if (this.#frame === 0 && !this.#again) this.events.drawn(wanted.at, wanted.revision);
        });
      },
      (error: unknown) => {
        // `stopped` handles a trap.
        if (!(error instanceof SceneFaults)) return;
        heard(() => {
          // Send everything again with the next request: the worker may hold only half of this one.
          this.#revision = null;
          this.events.failed(error);
        });
      },
    );
  }

  #paint({ side, top, width, height, pixels }: PicturePart, { widthPx, heightPx }: Wanted): void {
    if (this.canvas.width !== widthPx || this.canvas.height !== heightPx) {
      this.canvas.width = widthPx;
      this.canvas.height = heightPx;
    }
    const part = new ImageData(pixels, width, height, { colorSpace: this.#colours });
    if (side === 1) {
      this.#context.putImageData(part, 0, top);
      return;
    }
    const coarse = new OffscreenCanvas(width, height);
    coarse.getContext('2d', { alpha: false, colorSpace: this.#colours })?.putImageData(part, 0, 0);
    this.#context.imageSmoothingEnabled = true;
    this.#context.imageSmoothingQuality = 'high';
    this.#context.drawImage(coarse, 0, top * side, width * side, height * side);
  }
}

/** A scene file without its hour, which is part of the request. */
function withoutHour(text: string): string {
  return text.replace(/"at":\s*"[^"]*"/, '');
}
