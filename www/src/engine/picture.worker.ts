// Draws the window by the graphics card, away from the page's thread: making a window ready takes half a second, and
// a slow card holds up whoever draws.
import type { Gamut, Picture } from './contract';
import { SceneFaults, asOurs } from './faults';
import type { PictureCalls } from './messages';
import { serve, trapped, unlessRefused, type Reply } from './worker-serve';

const scope = self as unknown as { requestAnimationFrame(callback: () => void): number };

/** A card that takes longer over a whole picture shows a coarse one first, so that light follows the hand. */
const SLOW_MS = 100;
/** Side of the coarse picture's pixels. */
const COARSE = 3;
/** The whole picture comes when nothing else has been asked for so long. */
const STILL_MS = 120;

interface Request {
  text: string;
  reply: Reply<boolean, 'coarse'>;
}

/** A gap between two frames so long means that the page was not seen. */
const HIDDEN_MS = 1000;
/** How often an idle device is asked whether it is still there. */
const ASKED_MS = 1000;
/** Longer than any card takes over a picture; one that has not answered by then is not waited for. */
const MOST_MS = 10_000;

const LOST = 'the graphics device was lost';

let picture: Picture | null = null;
/** What is drawn next. */
let next: Request | null = null;
/** The last that was asked for: an older one is not worth drawing whole. */
let last: Request | null = null;
/** The card is drawing. Another picture would only queue behind it. */
let busy = false;
/** Until the first picture has said how fast the card is. */
let slow = true;

function isLost(): boolean {
  try {
    return picture?.lost() ?? false;
  } catch {
    return true;
  }
}

/** What cannot be drawn is refused; of everything else the page makes another picture. */
const fail = ({ reply }: Request, error: unknown): void => (isLost() ? trapped(LOST) : reply.fail(error));

/** Draws with the next frame; calls back when the card is done, with the time it took, null where nothing was new. */
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
      // A hidden page has no frames: how long the card took is not known then.
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
      // Only what the interface refuses says that there is no card; all else is the instance's fault.
      if (!(asOurs(error) instanceof SceneFaults)) throw error;
      reply.answer(null);
      return;
    }
    picture = attached;
    canvas.addEventListener('webglcontextlost', () => {
      // The module hears nothing of this itself.
      attached.mark_lost();
      trapped('the WebGL2 context was lost');
    });
    // A WebGPU device that goes while nothing is drawn tells nobody.
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
