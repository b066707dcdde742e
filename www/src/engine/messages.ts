// The requests that each worker understands. `WorkerHost` and `serve` carry them.
import type {
  AttachmentKind,
  CheckedDrawing,
  CheckedLines,
  CheckedOpening,
  Day,
  DrawingOptions,
  Edit,
  Gamut,
  Measurements,
  Ranges,
  Report,
  WindowStart,
  Year,
} from './contract';

/** The arguments, the answer and the progress reports of a request. */
export interface Call<Given, Answer = void, Progress = never> {
  given: Given;
  answer: Answer;
  progress: Progress;
}

export interface FiguresCalls {
  /** Opens another scene and applies the edits made since its text. */
  open: Call<{ text: string; edits: string[] }>;
  apply: Call<string>;
  /** Previews an edit; ignored if the edit is refused. */
  preview: Call<string>;
  report: Call<{ at: string; place: string }, Report>;
  /** How well the figures of that report are known; null in the dark. */
  ranges: Call<{ at: string; place: string }, Ranges | null>;
  day: Call<{ date: string; place: string; part: number; parts: number }, Day>;
  year: Call<{ year: number; place: string; part: number; parts: number }, Year>;
}

/** Draws with the graphics card. */
export interface PictureCalls {
  /** The first call; `prefer` and `wide` are those of `Picture.attach`. Answers null if there is no graphics card. */
  attach: Call<{ canvas: OffscreenCanvas; prefer: string; wide: boolean }, { backend: string; gamut: Gamut } | null>;
  /** The scene. The window, as seen from the place, is prepared before it is requested. */
  open: Call<{ text: string; window: string; place: string }>;
  apply: Call<string>;
  preview: Call<string>;
  /**
   * A request for `Picture.draw`. Reports once a coarse picture is on the screen. Answers whether the complete picture
   * is: false if a newer request has overtaken it.
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

/** Draws with the processor. */
export interface SoftwareCalls {
  /** `text` if the scene has changed; a request for `SoftwarePicture.draw`. Answers as `PictureCalls.draw`. */
  draw: Call<{ request: string; text: string | null }, boolean, PicturePart>;
  /**
   * The whole window as a PNG file; a request for `SoftwarePicture.png`. `caption`: rows of RGBA that follow the picture.
   * Reports the share done, 0–1.
   */
  png: Call<{ request: string; text: string; caption: Uint8Array | null }, Uint8Array<ArrayBuffer>, number>;
  /** Stops the drawing in progress. */
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

export interface NewWindowCalls {
  /** Checks the lines of a window of a scene. Ends at most `withinMm` from another line can be mended. */
  lines: Call<{ text: string; window: string; withinMm: number }, CheckedLines>;
  /** Reads a drawing. Refused with a fault at `width_mm` where its real width is needed. */
  check: Call<{ file: File; options: DrawingOptions }, CheckedDrawing>;
  /** The least and the most real width of a drawing that has none, or an impossible one, mm. */
  widths: Call<{ file: File; options: DrawingOptions }, readonly [number, number]>;
  /** The text of a scene file around a drawing. */
  scene: Call<{ file: File; options: DrawingOptions; start: WindowStart }, string>;
  /** Draws an opening. */
  checkOpening: Call<Measurements, CheckedOpening>;
  /** The text of a scene file around an opening. */
  sceneOfOpening: Call<{ measurements: Measurements; start: WindowStart }, string>;
}

// The messages themselves.
export type ToWorker =
  | { module: WebAssembly.Module }
  /** `id` is null if no answer is expected. */
  | { id: number | null; name: string; given: unknown };

export type FromWorker =
  | { kind: 'progress'; id: number; value: unknown }
  | { kind: 'answer'; id: number; value: unknown }
  | { kind: 'refused'; id: number; faults: unknown }
  /** The instance, or what it draws on, is no longer usable. */
  | { kind: 'trapped'; message: string };
