// The picture where there is no graphics card: painted in a worker, coarse first, handed to a 2D canvas part by part.
// A wish is sent once the one before has shown its coarsest picture, so dragging always shows something and never
// queues.
import type { Gamut } from './contract';
import { wishOf, type Drawer, type PictureEvents, type Wanted } from './picture-driver';
import type { FromPainter, ToPainter } from './messages';
import { SceneFaults } from './faults';
import { whenShown } from './when-shown';

const STOPS_BEFORE_GIVING_UP = 2;

export class SoftwareDriver implements Drawer {
  #worker: Worker | null = null;
  #context: CanvasRenderingContext2D;
  #colours: PredefinedColorSpace;
  #frame = 0;
  #closed = false;
  #id = 0;
  /** Sent, and nothing of it has come yet. */
  #waiting = false;
  /** Asked for again meanwhile. */
  #again = false;
  /** The newest wish that was sent. */
  #sent: Wanted | null = null;
  #revision: number | null = null;
  #stops = 0;
  /** What the finished picture on the canvas is of: the wish and the scene, both without what does not show. */
  #shown: { wish: string; scene: string } | null = null;
  #sentScene = '';
  #unlisten: () => void;

  /** `text`: the scene as it is shown. Throws where there is no 2D canvas either. */
  constructor(
    private readonly module: WebAssembly.Module,
    private readonly canvas: HTMLCanvasElement,
    private readonly text: () => string,
    private readonly wanted: () => Wanted | null,
    private readonly events: PictureEvents,
  ) {
    this.#colours = matchMedia('(color-gamut: p3)').matches ? 'display-p3' : 'srgb';
    const context = canvas.getContext('2d', { alpha: false, colorSpace: this.#colours });
    if (context === null) throw new Error('this browser has no canvas to draw on');
    this.#context = context;
    this.#unlisten = whenShown(
      () => this.request(),
      () => {
        // What is stopped before its first part is answered by nobody.
        this.#waiting = false;
        this.#post({ kind: 'stop' });
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

  // The whole scene goes with the next wish: drawing takes so much longer that it does not count. What is still in the
  // hand is not drawn.
  follow(): void {}
  preview(): void {}
  forget(): void {}

  close(): void {
    this.#closed = true;
    cancelAnimationFrame(this.#frame);
    this.#unlisten();
    this.#worker?.terminate();
    this.#worker = null;
  }

  #post(message: ToPainter): void {
    this.#worker?.postMessage(message);
  }

  #send(): void {
    const wanted = this.wanted();
    if (wanted === null || this.#closed || document.hidden) return;
    const text = wanted.revision === this.#revision ? null : this.text();
    const scene = text === null ? this.#sentScene : withoutHour(text);
    if (this.#shown?.wish === this.#wish(wanted) && this.#shown.scene === scene) {
      // An hour that is only now the scene's own: drawn anew it would pass through the coarse picture for nothing.
      this.#again = false;
      this.events.drawn(wanted.at, wanted.revision);
      return;
    }
    this.#shown = null;
    this.#sentScene = scene;
    this.#id += 1;
    this.#sent = wanted;
    this.#waiting = true;
    this.#again = false;
    const message: ToPainter = { kind: 'draw', id: this.#id, wish: this.#wish(wanted) };
    if (this.#worker === null) {
      const worker = new Worker(new URL('./software.worker.ts', import.meta.url), { type: 'module' });
      worker.onmessage = ({ data }: MessageEvent<FromPainter>) => {
        if (worker === this.#worker) this.#hear(data);
      };
      worker.onerror = (event) => {
        if (worker === this.#worker) this.#stopped(event.message || 'the worker could not be loaded');
      };
      this.#worker = worker;
      message.module = this.module;
      this.#revision = null;
    }
    if (wanted.revision !== this.#revision) message.text = text ?? this.text();
    this.#revision = wanted.revision;
    this.#post(message);
  }

  #wish(wanted: Wanted): string {
    return wishOf(wanted, this.gamut());
  }

  #hear(message: FromPainter): void {
    if (message.kind === 'stopped') {
      this.#stopped(message.message);
      return;
    }
    if (message.id !== this.#id || this.#sent === null) return;
    const { at, revision } = this.#sent;
    this.#waiting = false;
    if (message.kind === 'part') {
      this.#paint(message);
      this.events.shown();
    } else if (message.kind === 'refused') {
      // Everything is sent anew with the next wish: what the worker holds may be half of this one.
      this.#revision = null;
      this.events.failed(new SceneFaults(message.faults));
    } else if (message.kind === 'drawn') {
      this.#stops = 0;
      this.#shown = { wish: this.#wish(this.#sent), scene: this.#sentScene };
      this.events.drawn(at, revision);
    }
    if (this.#again) this.#send();
  }

  #paint({ side, top, width, height, pixels }: Extract<FromPainter, { kind: 'part' }>): void {
    const { widthPx, heightPx } = this.#sent!;
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

  /** The worker is of no more use; the next one gets the scene as it is now. */
  #stopped(why: string): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.#waiting = false;
    this.#stops += 1;
    if (this.#closed) return;
    if (this.#stops < STOPS_BEFORE_GIVING_UP) this.#send();
    else this.events.lost(new Error(why));
  }
}

/** A scene file without the scene's own hour, which the wish has. */
function withoutHour(text: string): string {
  return text.replace(/"at":\s*"[^"]*"/, '');
}
