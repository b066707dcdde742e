// Saves a picture of the window as a file. A separate worker draws it, so that it can be stopped at once and the page
// stays responsive.
import { captionRows, captionWords } from './caption';
import { clock } from './clock.svelte';
import { download, plainName } from './download';
import type { FileRequest, Gamut, PictureMode } from '../engine/contract';
import { SceneFaults, messageOf } from '../engine/faults';
import type { SoftwareCalls } from '../engine/messages';
import { painter } from '../engine/painter';
import type { WorkerHost } from '../engine/worker-host';
import { picture } from './picture.svelte';
import { scene } from './scene.svelte';
import { viewpoint } from './viewpoint.svelte';

interface PictureRequest {
  widthPx: number;
  mode: PictureMode;
  gamut: Gamut;
  /** Whether a caption stands below the picture. */
  caption: boolean;
}

class PictureFile {
  /** Progress, 0–1, while a file is made; otherwise null. */
  done = $state<number | null>(null);
  /** Why the last file was not made. */
  fault = $state<string | null>(null);

  #worker: WorkerHost<SoftwareCalls> | null = null;

  make(wanted: PictureRequest): void {
    const { module } = picture;
    const { window } = viewpoint;
    if (module === null || window === null || this.#worker !== null) return;
    this.fault = null;
    this.done = 0;
    const name = `${plainName(scene.overview?.name ?? '')}, ${clock.at.replace('T', ' ').replace(/:/g, '.')}.png`;
    const worker = painter(1);
    this.#worker = worker;
    worker.begin(module);
    const words = captionWords();
    const request = JSON.stringify({
      window: window.id,
      place: viewpoint.placeName,
      at: clock.at,
      mode: wanted.mode,
      mark_unshowable: false,
      gamut: wanted.gamut,
      width_px: wanted.widthPx,
    } satisfies FileRequest);
    const progress = (share: number): void => {
      if (worker === this.#worker) this.done = share;
    };
    const text = scene.shownText();
    const draw = async (): Promise<Uint8Array<ArrayBuffer> | null> => {
      const caption = wanted.caption ? await captionRows(words, wanted.widthPx) : null;
      // Stopped meanwhile: a stopped worker never answers.
      return worker === this.#worker ? worker.ask('png', { request, text, caption }, { progress }) : null;
    };
    draw().then(
      (bytes) => {
        if (bytes === null) return;
        this.stop();
        download(bytes, 'image/png', name);
      },
      (error: unknown) => {
        this.stop();
        this.fault =
          error instanceof SceneFaults
            ? error.faults.map((fault) => `Expected ${fault.expected}, found ${fault.found}.`).join(' ')
            : messageOf(error);
      },
    );
  }

  stop(): void {
    this.#worker?.stop();
    this.#worker = null;
    this.done = null;
  }

  /** The dialog has been closed: what went wrong before it is of no use when it is opened again. */
  closed(): void {
    this.stop();
    this.fault = null;
  }
}

export const pictureFile = new PictureFile();
