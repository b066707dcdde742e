// The picture: what draws it, its state, and how it is shown.
import type { Gamut, PictureMode } from '../engine/contract';
import type { Drawer, DrawingEvents, Wanted } from '../engine/drawing';
import { messageOf } from '../engine/faults';
import { PictureDriver } from '../engine/picture-driver';
import { SoftwareDriver } from '../engine/software-driver';
import { clock } from './clock.svelte';
import { scene } from './scene.svelte';
import { viewpoint } from './viewpoint.svelte';

const FAILURES_BEFORE_GIVING_UP = 3;
const CARD_COMES_BACK_MS = 1000;

type PictureState =
  | { state: 'starting' }
  /** `slow`: drawn by the processor, because there is neither WebGPU nor WebGL2. */
  | { state: 'drawing'; backend: string; gamut: Gamut; slow: boolean }
  /** This hour or viewing position cannot be drawn; another may be. */
  | { state: 'refused'; why: string }
  | { state: 'failed'; why: string };

/** The part of the window that the canvas shows. */
interface View {
  widthPx: number;
  heightPx: number;
  centreMm: readonly [number, number];
  mmPerPx: number;
}

class Picture {
  /** With this, the worker can start while the scene is still being opened. */
  module = $state.raw<WebAssembly.Module | null>(null);
  state = $state.raw<PictureState>({ state: 'starting' });
  mode = $state<PictureMode>('appearance');
  /** Stripes mark what the screen cannot show. */
  markUnshowable = $state(false);
  /** A picture has been shown since the page was opened. */
  lit = $state(false);
  /** A new number requests a new canvas element. */
  canvas = $state(0);

  /** The first picture has come, or none is expected soon. */
  settled: () => void = () => undefined;

  #driver: Drawer | null = null;
  #sceneThere: (revision: number) => void = () => undefined;
  /** Resolves when there is a scene. */
  readonly #scene = new Promise<number>((resolve) => (this.#sceneThere = resolve));
  /** No graphics card is available: the processor draws. */
  #slow = false;
  #view: View | null = null;
  #failures = 0;
  #drawnByCard = false;

  /** Loads the drawing worker before there is anything to draw. */
  prepare(): void {
    PictureDriver.prepare();
  }

  /** Gives the worker the scene while the page is still opening it. */
  begin(): void {
    this.#sceneThere(scene.revision() ?? 0);
  }

  setMode(mode: PictureMode): void {
    this.mode = mode;
    this.#request();
  }

  setMark(mark: boolean): void {
    this.markUnshowable = mark;
    this.#request();
  }

  setView(view: View): void {
    // It is set anew with every action, most of which leave it as it is.
    if (JSON.stringify(view) === JSON.stringify(this.#view)) return;
    this.#view = view;
    this.#request();
  }

  /** Updates the driver's copy of the scene. */
  follow(made: string): void {
    this.#driver?.follow(made, scene.revision() ?? 0);
  }

  /** Previews an edit. Another preview, `unpreview` or the edit itself follows. */
  preview(edit: string): void {
    this.#driver?.preview(edit);
    this.redraw();
  }

  unpreview(): void {
    this.#driver?.forget();
    this.redraw();
  }

  /** What is shown has changed: a stopped picture gets another try. */
  redraw(): void {
    if (this.state.state === 'failed') this.retry();
    else this.#request();
  }

  /** Tries the picture again, when the user asks. */
  retry(): void {
    this.#failures = 0;
    this.#slow = false;
    this.#anotherCanvas();
  }

  /** Draws on a canvas element from now on. Returns the function to call when the element is removed. */
  attach(canvas: HTMLCanvasElement): () => void {
    const { module } = this;
    if (module === null) return () => undefined;
    let gone = false;
    let own: Drawer | null = null;
    const events: DrawingEvents = {
      shown: () => this.#shown(),
      drawn: (at) => this.#drawn(at),
      lost: (cause) => {
        if (!gone) this.#lost(cause);
      },
      failed: (cause) => {
        this.state = { state: 'refused', why: messageOf(cause) };
        this.settled();
      },
    };
    const begun = (driver: Drawer): void => {
      own = driver;
      this.#driver = driver;
      this.#drawing();
      driver.request();
    };
    const text = (): string => scene.shownText();
    const wanted = (): Wanted | null => this.#wanted();
    if (this.#slow) {
      try {
        begun(new SoftwareDriver(module, canvas, text, wanted, events));
      } catch (error) {
        this.#fail(error);
      }
    } else {
      const prefer = new URLSearchParams(location.search).get('gpu') ?? '';
      PictureDriver.attach(module, canvas, prefer, text, this.#scene, wanted, events).then(
        (driver) => {
          if (gone) driver?.close();
          else if (driver !== null) begun(driver);
          else this.#noCard();
        },
        (error: unknown) => {
          if (!gone) this.#fail(error);
        },
      );
    }
    return () => {
      gone = true;
      own?.close();
      if (this.#driver === own) this.#driver = null;
    };
  }

  /** What the page says is drawn is out of date until it is drawn again; a hidden page draws nothing. */
  #request(): void {
    if (!document.hidden) delete document.documentElement.dataset['drawn'];
    this.#driver?.request();
  }

  #wanted(): Wanted | null {
    const revision = scene.revision();
    if (revision === null || this.#view === null || viewpoint.window === null) return null;
    return {
      ...this.#view,
      revision,
      window: viewpoint.window.id,
      place: viewpoint.placeName,
      at: clock.at,
      mode: this.mode,
      markUnshowable: this.markUnshowable,
    };
  }

  #drawing(): void {
    const driver = this.#driver;
    if (driver === null) return;
    this.state = { state: 'drawing', backend: driver.backend(), gamut: driver.gamut(), slow: this.#slow };
  }

  #shown(): void {
    if (this.lit) return;
    // `cargo xtask bench` measures the time to this mark.
    performance.mark('first lit picture');
    this.lit = true;
    this.settled();
  }

  #drawn(at: string): void {
    this.#failures = 0;
    this.#drawnByCard ||= !this.#slow;
    if (this.state.state !== 'drawing') this.#drawing();
    this.#shown();
    const { dataset } = document.documentElement;
    dataset['lit'] = 'yes';
    dataset['drawn'] = at;
  }

  /** The browser offers no graphics card. */
  #noCard(): void {
    if (this.#drawnByCard && this.#failures < FAILURES_BEFORE_GIVING_UP) {
      // A lost card is available again once its driver has restarted.
      this.#failures += 1;
      setTimeout(() => (this.canvas += 1), CARD_COMES_BACK_MS);
      return;
    }
    // A canvas once used for a graphics card cannot change its context, so a new one is needed.
    this.#slow = true;
    this.canvas += 1;
  }

  #lost(cause: unknown): void {
    this.#driver?.close();
    this.#driver = null;
    this.#failures += 1;
    if (this.#failures >= FAILURES_BEFORE_GIVING_UP) {
      if (this.#slow) {
        this.#fail(cause);
        return;
      }
      // A graphics card that is repeatedly lost is given up.
      this.#slow = true;
      this.#failures = 0;
    }
    this.#anotherCanvas();
  }

  #fail(cause: unknown): void {
    this.state = { state: 'failed', why: messageOf(cause) };
    this.settled();
  }

  #anotherCanvas(): void {
    this.state = { state: 'starting' };
    this.canvas += 1;
  }
}

export const picture = new Picture();
