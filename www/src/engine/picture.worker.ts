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

let picture: Picture | null = null;
/** What is drawn with the next frame. */
let newest: Wish | null = null;
/** The last that was wished: an older one is not worth drawing whole. */
let last = 0;
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
  scope.postMessage({ kind: 'attached', backend: picture.backend(), gamut: picture.gamut() as Gamut });
}

/** Draws; calls back when it is on the screen, with the time that took. */
function draw({ id, wish }: Wish, side: number, shown: (ms: number) => void): void {
  try {
    if (picture === null) return;
    if (picture.lost()) throw new Error('the graphics device was lost');
    const begun = performance.now();
    if (picture.draw(wish, side)) scope.requestAnimationFrame(() => shown(performance.now() - begun));
    else shown(0);
  } catch (error) {
    tell(error, id);
  }
}

function drawWhole(wish: Wish): void {
  draw(wish, 1, (ms) => {
    if (ms > 0) slow = ms > SLOW_MS;
    scope.postMessage({ kind: 'drawn', id: wish.id });
  });
}

function frame(): void {
  if (newest === null) return;
  const wish = newest;
  newest = null;
  if (!slow) {
    drawWhole(wish);
    return;
  }
  draw(wish, COARSE, () => {
    scope.postMessage({ kind: 'shown', id: wish.id });
    const whole = (): void => {
      if (last === wish.id) drawWhole(wish);
    };
    setTimeout(() => scope.requestAnimationFrame(whole), STILL_MS);
  });
}

async function handle(message: ToPicture): Promise<void> {
  if (message.kind === 'attach') await attach(message);
  else if (message.kind === 'open') picture?.open(message.text);
  else if (message.kind === 'apply') picture?.apply(message.edit);
  else {
    if (newest === null) scope.requestAnimationFrame(frame);
    last = message.id;
    newest = { id: message.id, wish: message.wish };
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
