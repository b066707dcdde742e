// Reads a scene file and builds it once, in a temporary instance of the module, so that no file can harm the page.
import type { SceneOverview } from './contract';
import { SceneFaults, messageOf } from './faults';
import type { CheckCalls } from './messages';
import { serve } from './worker-serve';

async function read(file: File): Promise<string> {
  try {
    // Otherwise bytes that are not UTF-8 would silently become other characters.
    return new TextDecoder('utf-8', { fatal: true }).decode(await file.arrayBuffer());
  } catch (error) {
    const found = error instanceof TypeError ? 'bytes that are not UTF-8' : messageOf(error);
    throw new SceneFaults([{ path: '', expected: 'a readable text file', found }]);
  }
}

/** JSON has no room for what attachments hold. */
function refuseAttachments(names: readonly string[]): void {
  if (names.length === 0) return;
  const some = names.slice(0, 3).map((name) => `“${name}”`);
  const found = `the scene alone, without ${some.join(', ')}${names.length > 3 ? ', …' : ''}`;
  const expected = 'the ZIP that the scene was saved as: it has the attachments in it';
  throw new SceneFaults([{ path: 'attachments', expected, found }]);
}

serve<CheckCalls>((glue) => ({
  check: async ({ file, unpacked }, reply) => {
    reply.progress('reading');
    const text = await read(file);
    reply.progress('building');
    const document = new glue.SceneDocument(text);
    const { attachments } = JSON.parse(document.overview()) as SceneOverview;
    document.free();
    if (!unpacked) refuseAttachments(attachments.map((one) => one.name));
    reply.answer(text);
  },
}));
