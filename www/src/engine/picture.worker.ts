// Draws the window with the graphics card, away from the page's thread: preparing a window takes half a second, and a
// slow card blocks the thread that draws.
import type { Gamut, Picture } from './contract';
import { SceneFaults, asOurs } from './faults';
import type { PictureCalls } from './messages';
import { serve, trapped, unlessRefused, type Reply } from './worker-serve';

const scope = self as unknown as { requestAnimationFrame(callback: () => void): number };

/** A card that takes longer over a full picture shows a coarse one first, so that the light follows a drag, ms. */
const SLOW_MS = 100;
/** Side of the coarse picture's pixels. */
const COARSE = 3;
/** The full picture is drawn once there has been no request for this long, ms. */
const STILL_MS = 120;

interface Request {
  text: string;
  reply: Reply<boolean, 'coarse'>;
}

/** A longer gap between two frames means that the page was hidden, ms. */
const HIDDEN_MS = 1000;
/** How often an idle device is checked, ms. */
const ASKED_MS = 1000;
/** Longer than any card takes over a picture, ms; after this the worker stops waiting for it. */
const MOST_MS = 10_000;

const LOST = 'the graphics device was lost';

let picture: Picture | null = null;
/** What is drawn next. */
let next: Request | null = null;
/** The latest request: an older one is not worth drawing in full. */
let last: Request | null = null;
/** The card is busy; another picture would only queue. */
let busy = false;
/** True until the first picture has shown how fast the card is. */
let slow = true;

function isLost(): boolean {
  try {
    return picture?.lost() ?? false;
  } catch {
    return true;
  }
}

/** A request that cannot be drawn is refused; after any other error the page makes a new picture. */
const fail = ({ reply }: Request, error: unknown): void => (isLost() ? trapped(LOST) : reply.fail(error));

/** Draws with the next frame; calls back with the time the card took, or null if there was nothing new. */
function draw(request: Request, side: number, done: (ms: number | null) => void): void {
  const ended = (call: () => void): void => {
    busy = false;
    call();
    drawNext();
  };
  busy = true;
  scope.requestAnimationFrame(() => {
    try {
      if (picture === null || picture.lost()) throw new Error(LOST);
      if (!picture.draw(request.text, side)) {
        ended(() => done(null));
        return;
      }
    } catch (error) {
      ended(() => fail(request, error));
      return;
    }
    const begun = performance.now();
    let before = begun;
    let seen = true;
    const wait = (): void => {
      const now = performance.now();
      // A hidden page has no frames, so the card's time is unknown.
      seen &&= now - before < HIDDEN_MS;
      before = now;
      try {
        if (picture?.done() === false && now - begun < MOST_MS) scope.requestAnimationFrame(wait);
        else if (isLost()) throw new Error(LOST);
        else ended(() => done(seen ? now - begun : null));
      } catch (error) {
        ended(() => fail(request, error));
      }
    };
    scope.requestAnimationFrame(wait);
  });
}

function drawWhole(request: Request): void {
  draw(request, 1, (ms) => {
    if (ms !== null) slow = ms > SLOW_MS;
    request.reply.answer(true);
  });
}

function drawNext(): void {
  if (busy || next === null) return;
  const request = next;
  next = null;
  if (!slow) {
    drawWhole(request);
    return;
  }
  draw(request, COARSE, () => {
    request.reply.progress('coarse');
    setTimeout(() => {
      if (last === request) drawWhole(request);
      else request.reply.answer(false);
    }, STILL_MS);
  });
}

serve<PictureCalls>((glue) => ({
  attach: async ({ canvas, prefer, wide }, reply) => {
    let attached: Picture;
    try {
      attached = await glue.Picture.attach(canvas, prefer, wide);
    } catch (error) {
      // Only a refusal by the interface means that there is no card; any other error is the instance's.
      if (!(asOurs(error) instanceof SceneFaults)) throw error;
      reply.answer(null);
      return;
    }
    picture = attached;
    canvas.addEventListener('webglcontextlost', () => {
      // The module itself is not told about this.
      attached.mark_lost();
      trapped('the WebGL2 context was lost');
    });
    // Nothing reports the loss of a WebGPU device while idle.
    const asking = setInterval(() => {
      if (!isLost()) return;
      clearInterval(asking);
      trapped(LOST);
    }, ASKED_MS);
    reply.answer({ backend: attached.backend(), gamut: attached.gamut() as Gamut });
  },
  open: ({ text, window, place }) => {
    picture?.open(text);
    picture?.prepare(window, place);
  },
  apply: (edit) => {
    picture?.apply(edit);
  },
  preview: (edit) => unlessRefused(() => picture?.apply(edit)),
  draw: (text, reply) => {
    next?.reply.answer(false);
    last = next = { text, reply };
    drawNext();
  },
}));
