// Gestures on the wall by mouse, pen or fingers: tap, drag, pinch, region.
import type { Point } from '../state/view.svelte';

/** A pointer that stays within this many pixels has tapped. */
const SLOP_PX = { mouse: 4, pen: 6, touch: 10 };
const LONG_PRESS_MS = 500;
const DOUBLE_MS = 350;
const DOUBLE_PX = 28;

export interface GestureEvents {
  focus(): void;
  /** Whether a drag with one pointer selects a region instead of panning. */
  choosesRegion(event: PointerEvent): boolean;
  /** `toggle`: with Shift, Ctrl or Command held, or a long press. */
  tap(at: Point, toggle: boolean): void;
  double(at: Point): void;
  pan(by: Point): void;
  zoom(factor: number, about: Point): void;
  /** A region while it is drawn, from its first to its current point; null when it is cancelled. */
  region(path: Point[] | null): void;
  regionDone(path: Point[], add: boolean): void;
}

interface Held {
  from: Point;
  at: Point;
}

type Doing = 'nothing' | 'tap' | 'pan' | 'region' | 'pinch';

/** Listens on an element; returns the function that stops listening. */
export function listen(area: HTMLElement, events: GestureEvents): () => void {
  const held = new Map<number, Held>();
  let doing: Doing = 'nothing';
  let drags: Doing = 'nothing';
  let path: Point[] = [];
  let mouse = true;
  let press: ReturnType<typeof setTimeout> | undefined;
  let before: { time: number; at: Point } | null = null;

  const place = (event: PointerEvent | WheelEvent): Point => {
    const frame = area.getBoundingClientRect();
    return [event.clientX - frame.left, event.clientY - frame.top];
  };
  const apart = (a: Point, b: Point): number => Math.hypot(a[0] - b[0], a[1] - b[1]);
  const pair = (): [Held, Held] | null => {
    const [a, b] = [...held.values()];
    return a && b ? [a, b] : null;
  };

  function stop(): void {
    clearTimeout(press);
    if (doing === 'region') events.region(null);
    doing = 'nothing';
  }

  /** The four corners of a mouse's rectangle, or the outline drawn by pen or finger. */
  const region = (): Point[] => {
    const [first, last] = [path[0]!, path[path.length - 1]!];
    return mouse ? [first, [last[0], first[1]], last, [first[0], last[1]]] : path;
  };

  function down(event: PointerEvent): void {
    if (held.size === 0) doing = 'nothing';
    if (event.pointerType === 'mouse' && event.button > 1) return;
    const at = place(event);
    held.set(event.pointerId, { from: at, at });
    area.setPointerCapture(event.pointerId);
    if (held.size > 1) {
      stop();
      doing = held.size === 2 ? 'pinch' : 'nothing';
      return;
    }
    mouse = event.pointerType === 'mouse';
    doing = event.button === 1 ? 'pan' : 'tap';
    drags = events.choosesRegion(event) ? 'region' : 'pan';
    path = [at];
    clearTimeout(press);
    if (!mouse) {
      press = setTimeout(() => {
        if (doing !== 'tap') return;
        doing = 'nothing';
        events.tap(at, true);
      }, LONG_PRESS_MS);
    }
  }

  function move(event: PointerEvent): void {
    const one = held.get(event.pointerId);
    if (one === undefined) return;
    const at = place(event);
    const was = one.at;
    if (doing === 'pinch') {
      const two = pair();
      if (two === null) return;
      const other = two[0] === one ? two[1] : two[0];
      const middle = (p: Point): Point => [(p[0] + other.at[0]) / 2, (p[1] + other.at[1]) / 2];
      const [m0, m1] = [middle(was), middle(at)];
      one.at = at;
      events.pan([m1[0] - m0[0], m1[1] - m0[1]]);
      events.zoom(apart(at, other.at) / Math.max(1, apart(was, other.at)), m1);
      return;
    }
    one.at = at;
    if (doing === 'tap') {
      const kind = event.pointerType === 'touch' || event.pointerType === 'pen' ? event.pointerType : 'mouse';
      if (apart(at, one.from) <= SLOP_PX[kind]) return;
      clearTimeout(press);
      doing = drags;
      if (doing === 'pan') events.pan([at[0] - one.from[0], at[1] - one.from[1]]);
    } else if (doing === 'pan') {
      events.pan([at[0] - was[0], at[1] - was[1]]);
    }
    if (doing === 'region') {
      path.push(at);
      events.region(region());
    }
  }

  function up(event: PointerEvent): void {
    const one = held.get(event.pointerId);
    if (one === undefined) return;
    held.delete(event.pointerId);
    clearTimeout(press);
    const was = doing;
    // The finger left after a pinch neither drags nor taps.
    doing = 'nothing';
    const toggle = event.shiftKey || event.ctrlKey || event.metaKey;
    if (was === 'region') {
      events.regionDone(region(), toggle);
    } else if (was === 'tap') {
      const again =
        before !== null && event.timeStamp - before.time < DOUBLE_MS && apart(before.at, one.at) < DOUBLE_PX;
      before = again || toggle ? null : { time: event.timeStamp, at: one.at };
      if (again && !toggle) events.double(one.at);
      else events.tap(one.at, toggle);
    }
  }

  function cancel(event: PointerEvent): void {
    if (held.delete(event.pointerId)) stop();
  }

  function wheel(event: WheelEvent): void {
    event.preventDefault();
    const line =
      event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 18 : event.deltaMode === WheelEvent.DOM_DELTA_PAGE ? 400 : 1;
    const [dx, dy] = [event.deltaX * line, event.deltaY * line];
    if (event.shiftKey || Math.abs(dx) > Math.abs(dy)) {
      // With Shift, a wheel scrolls along either axis, depending on the browser.
      events.pan(dx === 0 ? [-dy, 0] : [-dx, -dy]);
      return;
    }
    // A pinch on a trackpad arrives as a wheel with Ctrl, in smaller steps.
    const rate = event.ctrlKey ? 0.01 : 0.002;
    events.zoom(Math.exp(-Math.max(-240, Math.min(240, dy)) * rate), place(event));
  }

  // The keyboard continues where the pointer was. A middle press would start the browser's own scrolling, a long press
  // its menu.
  const takeFocus = (event: MouseEvent): void => {
    event.preventDefault();
    events.focus();
  };
  const noMenu = (event: MouseEvent): void => {
    if (!mouse) event.preventDefault();
  };

  const ending = new AbortController();
  const { signal } = ending;
  area.addEventListener('pointerdown', down, { signal });
  area.addEventListener('pointermove', move, { signal });
  area.addEventListener('pointerup', up, { signal });
  area.addEventListener('pointercancel', cancel, { signal });
  area.addEventListener('wheel', wheel, { signal, passive: false });
  area.addEventListener('mousedown', takeFocus, { signal });
  area.addEventListener('contextmenu', noMenu, { signal });
  return () => {
    stop();
    ending.abort();
  };
}
