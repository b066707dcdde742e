// Draws the window by the graphics card, away from the page's thread: making a window ready takes half a second, and
// a slow card holds up whoever draws.
import type { Gamut, Picture } from './contract';
import { SceneFaults, asOurs } from './faults';
import type { FromPicture, ToPicture } from './messages';
import { instantiate } from './module';

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<ToPicture>) => void) | null;
  postMessage(message: FromPicture): void;
  requestAnimationFrame(callback: () => void): number;
};

const words = (error: unknown): string => (error instanceof Error ? error.message : String(error));

/** A card that takes longer over a whole picture shows a coarse one first, so that light follows the hand. */
const SLOW_MS = 100;
/** Side of the coarse picture's pixels. */
const COARSE = 3;
/** The whole picture comes when nothing else has been wished for so long. */
const STILL_MS = 120;

interface Wish {
  id: number;
  wish: string;
}

/** A gap between two frames so long means that the page was not seen. */
const HIDDEN_MS = 1000;
/** How often an idle device is asked whether it is still there. */
const ASKED_MS = 1000;
/** Longer than any card takes over a picture; one that has not answered by then is not waited for. */
const MOST_MS = 10_000;

let picture: Picture | null = null;
/** What is drawn next. */
let newest: Wish | null = null;
/** The last that was wished: an older one is not worth drawing whole. */
let last = 0;
/** The card has a picture in hand. Another would only queue behind it. */
let busy = false;
/** Until the first picture has said how fast the card is. */
let slow = true;
// Messages keep their order although the start waits for module and device.
let chain: Promise<void> = Promise.resolve();

async function attach({ module, canvas, prefer, wide }: Extract<ToPicture, { kind: 'attach' }>): Promise<void> {
  // What fails here is the instance's fault; only what the interface refuses says that there is no card.
  const glue = await instantiate(module);
  try {
    picture = await glue.Picture.attach(canvas, prefer, wide);
  } catch (error) {
    if (!(asOurs(error) instanceof SceneFaults)) throw error;
    scope.postMessage({ kind: 'none', message: words(asOurs(error)) });
    return;
  }
  canvas.addEventListener('webglcontextlost', () => {
    // The module hears nothing of this itself.
    picture?.mark_lost();
    scope.postMessage({ kind: 'lost', message: 'the WebGL2 context was lost' });
  });
  // A WebGPU device that goes while nothing is drawn tells nobody.
  const asking = setInterval(() => {
    if (!isLost()) return;
    clearInterval(asking);
    scope.postMessage({ kind: 'lost', message: 'the graphics device was lost' });
  }, ASKED_MS);
  scope.postMessage({ kind: 'attached', backend: picture.backend(), gamut: picture.gamut() as Gamut });
}

/** Draws with the next frame; calls back when the card is done, with the time it took, null where nothing was new. */
function draw({ id, wish }: Wish, side: number, done: (ms: number | null) => void): void {
  const ended = (call: () => void): void => {
    busy = false;
    call();
    next();
  };
  busy = true;
  scope.requestAnimationFrame(() => {
    try {
      if (picture === null || picture.lost()) throw new Error('the graphics device was lost');
      if (!picture.draw(wish, side)) {
        ended(() => done(null));
        return;
      }
    } catch (error) {
      ended(() => tell(error, id));
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
        else if (isLost()) throw new Error('the graphics device was lost');
        else ended(() => done(seen ? now - begun : null));
      } catch (error) {
        ended(() => tell(error, id));
      }
    };
    scope.requestAnimationFrame(wait);
  });
}

function drawWhole(wish: Wish): void {
  draw(wish, 1, (ms) => {
    if (ms !== null) slow = ms > SLOW_MS;
    scope.postMessage({ kind: 'drawn', id: wish.id });
  });
}

function next(): void {
  if (busy || newest === null) return;
  const wish = newest;
  newest = null;
  if (!slow) {
    drawWhole(wish);
    return;
  }
  draw(wish, COARSE, () => {
    scope.postMessage({ kind: 'shown', id: wish.id });
    setTimeout(() => {
      if (last === wish.id) drawWhole(wish);
    }, STILL_MS);
  });
}

/** What cannot be is not shown; letting go of it is answered by the document. */
function preview(edit: string): void {
  try {
    picture?.apply(edit);
  } catch (error) {
    if (!(asOurs(error) instanceof SceneFaults)) throw error;
  }
}

async function handle(message: ToPicture): Promise<void> {
  if (message.kind === 'attach') await attach(message);
  else if (message.kind === 'open') {
    picture?.open(message.text);
    picture?.prepare(message.window, message.place);
  } else if (message.kind === 'apply') picture?.apply(message.edit);
  else if (message.kind === 'preview') preview(message.edit);
  else {
    last = message.id;
    newest = { id: message.id, wish: message.wish };
    next();
  }
}

function isLost(): boolean {
  try {
    return picture?.lost() ?? false;
  } catch {
    return true;
  }
}

/** What cannot be drawn is refused; of everything else the page makes another picture. */
function tell(raw: unknown, id: number | null): void {
  const error = asOurs(raw);
  if (error instanceof SceneFaults && id !== null && !isLost()) {
    scope.postMessage({ kind: 'refused', id, faults: error.faults });
  } else {
    scope.postMessage({ kind: 'lost', message: words(error) });
  }
}

scope.onmessage = ({ data }) => {
  chain = chain.then(() => handle(data).catch((error: unknown) => tell(error, null)));
};
