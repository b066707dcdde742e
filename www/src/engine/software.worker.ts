// Draws the window away from the page's thread where there is no graphics card. A newer wish overtakes an older one.
import type { Glue, SoftwarePicture } from './contract';
import { SceneFaults, asOurs } from './faults';
import type { FromPainter, ToPainter } from './messages';
import { instantiate } from './module';

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<ToPainter>) => void) | null;
  postMessage(message: FromPainter, transfer?: Transferable[]): void;
};

let glue: Glue | null = null;
let picture: SoftwarePicture | null = null;
// Messages keep their order although the start waits for the module.
let chain: Promise<void> = Promise.resolve();

async function handle(message: ToPainter): Promise<void> {
  if (message.kind === 'stop') {
    picture?.stop();
    return;
  }
  if (message.module !== undefined) glue = await instantiate(message.module);
  if (glue === null) throw new Error('The painting worker has not been started.');
  if (message.text !== undefined) {
    if (picture === null) picture = new glue.SoftwarePicture(message.text);
    else picture.open(message.text);
  }
  if (picture === null) throw new Error('The painting worker has no scene yet.');
  const { id } = message;
  if (message.kind === 'png') {
    const progress = (share: number): void => scope.postMessage({ kind: 'progress', id, share });
    const bytes = picture.png(message.wish, progress) as Uint8Array<ArrayBuffer>;
    scope.postMessage({ kind: 'file', id, bytes }, [bytes.buffer]);
    return;
  }
  const drawing = picture.draw(message.wish, (place: [number, number, number, number], pixels: Uint8Array) => {
    const [side, top, width, height] = place;
    const own = new Uint8ClampedArray(pixels.buffer as ArrayBuffer, pixels.byteOffset, pixels.byteLength);
    scope.postMessage({ kind: 'part', id, side, top, width, height, pixels: own }, [own.buffer]);
  }) as Promise<boolean>;
  // Not waited for: the next wish has to be heard between the parts of this one.
  drawing.then(
    (whole) => {
      if (whole) scope.postMessage({ kind: 'drawn', id });
    },
    (error: unknown) => tell(error, id),
  );
}

function tell(raw: unknown, id: number | null): void {
  const error = asOurs(raw);
  if (error instanceof SceneFaults && id !== null) scope.postMessage({ kind: 'refused', id, faults: error.faults });
  else scope.postMessage({ kind: 'stopped', message: error instanceof Error ? error.message : String(error) });
}

scope.onmessage = ({ data }) => {
  chain = chain.then(() => handle(data).catch((error: unknown) => tell(error, 'id' in data ? data.id : null)));
};
