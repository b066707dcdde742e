// What the page and the worker of figures say to each other.
import type { Day, Fault, Gamut, Report, Year } from './contract';

export type ToWorker =
  | { kind: 'start'; module: WebAssembly.Module; text: string; edits: string[] }
  | { kind: 'open'; text: string }
  | { kind: 'apply'; edit: string }
  /** An edit that is still in the hand: refused without a word where it cannot be. */
  | { kind: 'preview'; edit: string }
  | { kind: 'report'; id: number; at: string; place: string }
  | { kind: 'day'; id: number; date: string; place: string; part: number; parts: number }
  | { kind: 'year'; id: number; year: number; place: string; part: number; parts: number };

export type FromWorker =
  | { kind: 'report'; id: number; report: Report }
  | { kind: 'day'; id: number; day: Day }
  | { kind: 'year'; id: number; year: Year }
  | { kind: 'refused'; id: number; faults: Fault[] }
  | { kind: 'trapped'; message: string };

// What the page and the worker that draws by a graphics card say to each other.
export type ToPicture =
  /** The first one. `prefer` and `wide` as `Picture.attach` takes them. */
  | { kind: 'attach'; module: WebAssembly.Module; canvas: OffscreenCanvas; prefer: string; wide: boolean }
  /** The scene, and which of its windows, seen from where, is made ready before it is wished. */
  | { kind: 'open'; text: string; window: string; place: string }
  | { kind: 'apply'; edit: string }
  | { kind: 'preview'; edit: string }
  /** `wish` as `Picture.draw` takes it. Of several that come before the next frame the newest is drawn. */
  | { kind: 'draw'; id: number; wish: string };

export type FromPicture =
  | { kind: 'attached'; backend: string; gamut: Gamut }
  /** There is no graphics card. */
  | { kind: 'none'; message: string }
  /** Coarse, on the screen; the whole follows. */
  | { kind: 'shown'; id: number }
  /** On the screen. */
  | { kind: 'drawn'; id: number }
  | { kind: 'refused'; id: number; faults: Fault[] }
  /** Device or instance are gone. */
  | { kind: 'lost'; message: string };

// What the page and the worker that paints without a graphics card say to each other.
export type ToPainter =
  /** `module` with the first one; `text` where the scene has changed; `wish` as `SoftwarePicture.draw` takes it. */
  | { kind: 'draw'; id: number; wish: string; module?: WebAssembly.Module; text?: string }
  /** The whole window as a file; `wish` as `SoftwarePicture.png` takes it. */
  | { kind: 'png'; id: number; wish: string; module?: WebAssembly.Module; text?: string }
  | { kind: 'stop' };

export type FromPainter =
  /** Rows from `top`, each pixel `side` pixels of the picture wide and high. */
  | {
      kind: 'part';
      id: number;
      side: number;
      top: number;
      width: number;
      height: number;
      pixels: Uint8ClampedArray<ArrayBuffer>;
    }
  | { kind: 'drawn'; id: number }
  | { kind: 'progress'; id: number; share: number }
  | { kind: 'file'; id: number; bytes: Uint8Array<ArrayBuffer> }
  | { kind: 'refused'; id: number; faults: Fault[] }
  | { kind: 'stopped'; message: string };

/** To and from the worker that looks at a file before the page opens it. */
export interface ToCheck {
  module: WebAssembly.Module;
  file: File;
}

export type FromCheck =
  | { kind: 'doing'; what: 'reading' | 'building' }
  | { kind: 'whole'; text: string }
  | { kind: 'faults'; faults: Fault[] };
