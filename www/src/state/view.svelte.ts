// Which part of the window is shown, and at what zoom. Lengths are mm in the panel plane, y down, and CSS pixels on the
// wall.
import type { WindowOutline } from '../engine/contract';
import type { Shown } from './reveal-seen';

export type Point = readonly [number, number];

/** The panel's position on the wall, CSS pixels. */
export interface Placed {
  pxPerMm: number;
  left: number;
  top: number;
}

/** Closest zoom, like a loupe on the bench: CSS pixels to 1 mm of glass. */
const MOST_PX_PER_MM = 8;
/** A small panel may always be zoomed to this factor. */
const LEAST_MOST_ZOOM = 4;
/** Zoom factor of one press of a button or a key. */
export const ZOOM_STEP = 1.5;
/** How far a press of an arrow key moves the view, as a share of the visible part. */
export const PAN_SHARE = 0.15;
const MOTION_MS = 150;
/** A place is shown with at least this much of the window around it, mm. */
const AROUND_PLACE_MM = 160;
/** Text in the corners beside the window needs this width; otherwise it gets bands above and below. */
const CORNER_PX = 216;
/** A wall this narrow shows less text. */
const NARROW_PX = 480;
const CORNER_NARROW_PX = 72;
const BAND_PX = 48;

const clamp = (value: number, least: number, most: number): number => Math.min(most, Math.max(least, value));

class WallView {
  /** Size of the wall. */
  width = $state(0);
  height = $state(0);
  /** Zoom: 1 fits the whole window; never below 1. */
  zoom = $state(1);
  /** Panel point in the middle of the wall; null for the middle of all that is shown. */
  #centre = $state.raw<Point | null>(null);
  outline = $state.raw<WindowOutline | null>(null);
  /** What of wall and glass the whole picture shows. */
  shown = $state.raw<Shown | null>(null);
  #frame = 0;

  readonly near = $derived(this.zoom > 1.001);

  /** The largest fit of all that is shown that keeps clear of the text in the corners. */
  readonly #fit = $derived.by(() => {
    const { shown, width, height } = this;
    if (shown === null || width < 1 || height < 1) return null;
    const edge = Math.min(24, width / 24);
    const [across, up] = [shown.right - shown.left, shown.bottom - shown.top];
    const scale = (clear: number): number =>
      Math.max(1e-3, Math.min((width - 2 * edge) / across, (height - 2 * clear) / up));
    const free = scale(Math.min(16, height / 30));
    const corner = width < NARROW_PX ? CORNER_NARROW_PX : CORNER_PX;
    const banded = (width - across * free) / 2 < corner;
    return { pxPerMm: banded ? scale(BAND_PX) : free, banded };
  });

  /** Whether the text has bands above and below the window, because the window leaves no corners free. */
  readonly banded: boolean = $derived(this.#fit?.banded ?? false);
  readonly #whole: number | null = $derived(this.#fit?.pxPerMm ?? null);

  /** The panel's position; null before there is a wall and a window. */
  readonly placed: Placed | null = $derived.by(() => {
    if (this.#whole === null) return null;
    const pxPerMm = this.#whole * this.zoom;
    const [x, y] = this.centreMm;
    return { pxPerMm, left: this.width / 2 - x * pxPerMm, top: this.height / 2 - y * pxPerMm };
  });

  /** Panel point in the middle of the wall. */
  get centreMm(): Point {
    return this.#centre ?? this.#middle;
  }

  /** Panel point in the middle of what the whole picture shows. */
  get #middle(): Point {
    const { shown } = this;
    return shown === null ? [0, 0] : [(shown.left + shown.right) / 2, (shown.top + shown.bottom) / 2];
  }

  get mostZoom(): number {
    return Math.max(LEAST_MOST_ZOOM, MOST_PX_PER_MM / (this.#whole ?? 1));
  }

  /** The panel point under a point of the wall. */
  panelAt([x, y]: Point): Point {
    const placed = this.placed;
    return placed === null ? [0, 0] : [(x - placed.left) / placed.pxPerMm, (y - placed.top) / placed.pxPerMm];
  }

  /** Shows the whole window without animation, when another one has been opened. */
  reset(): void {
    cancelAnimationFrame(this.#frame);
    this.zoom = 1;
    this.#centre = null;
  }

  /** Returns a function that shows the part of the window again that is shown now. */
  hold(): () => void {
    const { zoom, centreMm } = this;
    return () => {
      cancelAnimationFrame(this.#frame);
      this.#show(zoom, centreMm);
    };
  }

  /** Drags the panel by pixels. */
  pan([dx, dy]: Point): void {
    cancelAnimationFrame(this.#frame);
    if (this.placed === null) return;
    const { pxPerMm } = this.placed;
    const [x, y] = this.centreMm;
    this.#show(this.zoom, [x - dx / pxPerMm, y - dy / pxPerMm]);
  }

  /** Zooms in or out about a point of the wall: the panel point there stays there. */
  zoomBy(factor: number, about: Point): void {
    cancelAnimationFrame(this.#frame);
    this.#zoomTo(this.zoom * factor, about);
  }

  /** The same with a short animation. */
  glideBy(factor: number, about: Point = [this.width / 2, this.height / 2]): void {
    this.glideTo(this.zoom * factor, about);
  }

  glideTo(zoom: number, about: Point = [this.width / 2, this.height / 2]): void {
    const to = clamp(zoom, 1, this.mostZoom);
    this.#glide((share, from) => this.#zoomTo(from.zoom * (to / from.zoom) ** share, about));
  }

  glideWhole(): void {
    const middle = this.#middle;
    this.#glide((share, { zoom, centre }) => {
      const mixed = [0, 1].map((k) => centre[k]! * (1 - share) + middle[k]! * share) as [number, number];
      this.#show(zoom ** (1 - share), mixed);
    });
  }

  /** Shows a place of the window from nearby. */
  glideToPlace(at: Point): void {
    if (this.#whole === null) return;
    const near = Math.min(this.width, this.height) / (AROUND_PLACE_MM * this.#whole);
    this.#glideTo(at, clamp(Math.max(this.zoom, near), 1, this.mostZoom));
  }

  /** Moves a place of the window into sight. */
  reveal(at: Point): void {
    const { placed } = this;
    if (placed === null) return;
    const [x, y] = [placed.left + at[0] * placed.pxPerMm, placed.top + at[1] * placed.pxPerMm];
    if (x < 0 || y < 0 || x > this.width || y > this.height) this.#glideTo(at, this.zoom);
  }

  #glideTo(at: Point, to: number): void {
    this.#glide((share, { zoom, centre }) =>
      this.#show(zoom * (to / zoom) ** share, [
        centre[0] * (1 - share) + at[0] * share,
        centre[1] * (1 - share) + at[1] * share,
      ]),
    );
  }

  /** Pans by a share of the visible part. */
  glidePan([dx, dy]: Point): void {
    const { pxPerMm } = this.placed ?? { pxPerMm: 1 };
    this.#glide((share, { zoom, centre }) =>
      this.#show(zoom, [
        centre[0] + (share * dx * this.width) / pxPerMm,
        centre[1] + (share * dy * this.height) / pxPerMm,
      ]),
    );
  }

  #zoomTo(zoom: number, about: Point): void {
    if (this.#whole === null) return;
    const to = clamp(zoom, 1, this.mostZoom);
    const [x, y] = this.panelAt(about);
    const pxPerMm = this.#whole * to;
    this.#show(to, [x - (about[0] - this.width / 2) / pxPerMm, y - (about[1] - this.height / 2) / pxPerMm]);
  }

  /** Keeps a point of the window in the middle of the wall. */
  #show(zoom: number, [x, y]: Point): void {
    const { shown } = this;
    if (shown === null || this.#whole === null) return;
    if (zoom <= 1.001) {
      this.zoom = 1;
      this.#centre = null;
      return;
    }
    this.zoom = zoom;
    this.#centre = [clamp(x, shown.left, shown.right), clamp(y, shown.top, shown.bottom)];
  }

  #glide(to: (share: number, from: { zoom: number; centre: Point }) => void): void {
    cancelAnimationFrame(this.#frame);
    const from = { zoom: this.zoom, centre: this.centreMm };
    if (matchMedia('(prefers-reduced-motion: reduce)').matches) {
      to(1, from);
      return;
    }
    let begun: number | null = null;
    const step = (now: number): void => {
      begun ??= now;
      const t = Math.min(1, (now - begun) / MOTION_MS);
      to(t * (2 - t), from);
      if (t < 1) this.#frame = requestAnimationFrame(step);
    };
    this.#frame = requestAnimationFrame(step);
  }
}

export const wallView = new WallView();
