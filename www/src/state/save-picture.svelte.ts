// A picture of the window as a file: drawn in a worker of its own, so that it can be stopped at once and the page goes
// on meanwhile.
import { download } from './download';
import type { FileRequest, Gamut, PictureMode } from '../engine/contract';
import type { FromPainter, ToPainter } from '../engine/messages';
import { studio } from './studio.svelte';

export interface FileWish {
  widthPx: number;
  mode: PictureMode;
  gamut: Gamut;
}

class PictureFile {
  /** Whether the dialog about it is open. */
  asked = $state(false);
  /** 0–1 while a file is made, otherwise null. */
  done = $state<number | null>(null);
  /** Why the last one was not made. */
  fault = $state<string | null>(null);

  #worker: Worker | null = null;

  make(wish: FileWish): void {
    const source = studio.source();
    if (source === null || this.#worker !== null) return;
    this.fault = null;
    this.done = 0;
    const worker = new Worker(new URL('../engine/software.worker.ts', import.meta.url), { type: 'module' });
    this.#worker = worker;
    const name = `${source.name}, ${source.at.replace('T', ' ').replace(/:/g, '.')}.png`;
    worker.onmessage = ({ data }: MessageEvent<FromPainter>) => {
      if (worker !== this.#worker) return;
      if (data.kind === 'progress') {
        this.done = data.share;
      } else if (data.kind === 'file') {
        this.stop();
        download(data.bytes, 'image/png', name);
      } else if (data.kind === 'refused') {
        this.#failed(data.faults.map((fault) => `Expected ${fault.expected}, found ${fault.found}.`).join(' '));
      } else if (data.kind === 'stopped') {
        this.#failed(data.message);
      }
    };
    worker.onerror = (event) => this.#failed(event.message || 'the worker could not be loaded');
    const message: ToPainter = {
      kind: 'png',
      id: 1,
      module: source.module,
      text: source.text,
      wish: JSON.stringify({
        window: source.window,
        place: source.place,
        at: source.at,
        mode: wish.mode,
        mark_unshowable: false,
        gamut: wish.gamut,
        width_px: wish.widthPx,
      } satisfies FileRequest),
    };
    worker.postMessage(message);
  }

  stop(): void {
    this.#worker?.terminate();
    this.#worker = null;
    this.done = null;
  }

  #failed(why: string): void {
    this.stop();
    this.fault = why;
  }
}

export const pictureFile = new PictureFile();
