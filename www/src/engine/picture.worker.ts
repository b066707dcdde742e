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

let picture: Picture | null = null;
/** What is drawn with the next frame. */
let newest: { id: number; wish: string } | null = null;
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

function draw(): void {
  if (picture === null || newest === null) return;
  const { id, wish } = newest;
  newest = null;
  try {
    if (picture.lost()) throw new Error('the graphics device was lost');
    picture.draw(wish);
  } catch (error) {
    tell(error, id);
    return;
  }
  // With the frame after it the picture is on the screen.
  scope.requestAnimationFrame(() => scope.postMessage({ kind: 'drawn', id }));
}

async function handle(message: ToPicture): Promise<void> {
  if (message.kind === 'attach') await attach(message);
  else if (message.kind === 'open') picture?.open(message.text);
  else if (message.kind === 'apply') picture?.apply(message.edit);
  else {
    if (newest === null) scope.requestAnimationFrame(draw);
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
