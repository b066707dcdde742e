// What the page can ask of each worker. `WorkerHost` and `serve` carry it.
import type { AttachmentKind, Day, Edit, Gamut, Report, Year } from './contract';

/** What is given, what is answered, and what is reported on the way. */
export interface Call<Given, Answer = void, Progress = never> {
  given: Given;
  answer: Answer;
  progress: Progress;
}

export interface FiguresCalls {
  /** Another scene, with the edits that have been made since its text. */
  open: Call<{ text: string; edits: string[] }>;
  apply: Call<string>;
  /** An edit that is not made yet: ignored where it cannot be. */
  preview: Call<string>;
  report: Call<{ at: string; place: string }, Report>;
  day: Call<{ date: string; place: string; part: number; parts: number }, Day>;
  year: Call<{ year: number; place: string; part: number; parts: number }, Year>;
}

/** Draws by the graphics card. */
export interface PictureCalls {
  /** The first call. `prefer` and `wide` as `Picture.attach` takes them. Null where there is no graphics card. */
  attach: Call<{ canvas: OffscreenCanvas; prefer: string; wide: boolean }, { backend: string; gamut: Gamut } | null>;
  /** The scene; the window, as seen from the place, is made ready before it is asked for. */
  open: Call<{ text: string; window: string; place: string }>;
  apply: Call<string>;
  preview: Call<string>;
  /**
   * A request as `Picture.draw` takes it. Reports once it is on the screen in coarse form. Answers whether it is there
   * whole: false where a newer request has overtaken it.
   */
  draw: Call<string, boolean, 'coarse'>;
}

/** Rows of a picture from `top`; each pixel is `side` pixels of the picture wide and high. */
export interface PicturePart {
  side: number;
  top: number;
  width: number;
  height: number;
  pixels: Uint8ClampedArray<ArrayBuffer>;
}

/** Draws by the processor. */
export interface SoftwareCalls {
  /** `text` where the scene has changed; a request as `SoftwarePicture.draw` takes it. Answers as `PictureCalls.draw`. */
  draw: Call<{ request: string; text: string | null }, boolean, PicturePart>;
  /** The whole window as a PNG file; a request as `SoftwarePicture.png` takes it. Reports the share done, 0–1. */
  png: Call<{ request: string; text: string }, Uint8Array<ArrayBuffer>, number>;
  /** Stops the drawing under way. */
  stop: Call<null>;
}

export interface CheckCalls {
  /**
   * Answers the file's text if it is a scene that can be built. `unpacked`: it comes out of a ZIP; only then may it have
   * attachments.
   */
  check: Call<{ file: File; unpacked: boolean }, string, 'reading' | 'building'>;
}

/** What an attachment holds, by its hash. */
export interface Content {
  hash: string;
  content: Blob;
}

/** Adds an attachment, describes it anew, or removes it. */
export type SetAttachment = Extract<Edit, { edit: 'set_attachment' }>;

export interface ArchiveCalls {
  /** Takes a ZIP apart. */
  unpack: Call<File, { text: string; contents: Content[] }, 'reading' | 'unpacking'>;
  /** The scene file of a scene's text with what its attachments hold. */
  pack: Call<{ text: string; contents: Content[] }, Blob>;
  /** The edit that attaches a file, and what the file holds now. */
  attach: Call<{ file: File; kind: AttachmentKind }, { edit: SetAttachment; content: Blob }>;
}

// The messages themselves.
export type ToWorker =
  | { module: WebAssembly.Module }
  /** `id` null where nobody waits for an answer. */
  | { id: number | null; name: string; given: unknown };

export type FromWorker =
  | { kind: 'progress'; id: number; value: unknown }
  | { kind: 'answer'; id: number; value: unknown }
  | { kind: 'refused'; id: number; faults: unknown }
  /** The instance, or what it draws on, is of no more use. */
  | { kind: 'trapped'; message: string };
