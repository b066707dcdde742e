// Draws the window without a graphics card, away from the page's thread. A newer request overtakes an older one.
import type { SoftwarePicture } from './contract';
import type { SoftwareCalls } from './messages';
import { serve } from './worker-serve';

let picture: SoftwarePicture | null = null;

serve<SoftwareCalls>((glue) => {
  function pictureOf(text: string | null): SoftwarePicture {
    if (picture === null) {
      if (text === null) throw new Error('The drawing worker has no scene yet.');
      picture = new glue.SoftwarePicture(text);
    } else if (text !== null) {
      picture.open(text);
    }
    return picture;
  }
  return {
    stop: () => picture?.stop(),
    png: ({ request, text, caption }, reply) => {
      const report = (share: number): void => reply.progress(share);
      const bytes = pictureOf(text).png(request, caption ?? undefined, report) as Uint8Array<ArrayBuffer>;
      reply.answer(bytes, [bytes.buffer]);
    },
    draw: ({ request, text }, reply) => {
      const part = ([side, top, width, height]: [number, number, number, number], pixels: Uint8Array): void => {
        const own = new Uint8ClampedArray(pixels.buffer as ArrayBuffer, pixels.byteOffset, pixels.byteLength);
        reply.progress({ side, top, width, height, pixels: own }, [own.buffer]);
      };
      // Not awaited: the next request must be received between the parts of this one.
      (pictureOf(text).draw(request, part) as Promise<boolean>).then(
        (whole) => reply.answer(whole),
        (error: unknown) => reply.fail(error),
      );
    },
  };
});
