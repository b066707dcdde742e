// Reads a scene file and builds it once, in a throw-away instance of the module: whatever the file does, the page is
// safe.
import type { SceneOverview } from './contract';
import { SceneFaults, messageOf } from './faults';
import type { CheckCalls } from './messages';
import { serve } from './worker-serve';

async function read(file: File): Promise<string> {
  try {
    // Bytes that are not UTF-8 would otherwise become other letters without a word.
    return new TextDecoder('utf-8', { fatal: true }).decode(await file.arrayBuffer());
  } catch (error) {
    const found = error instanceof TypeError ? 'bytes that are not UTF-8' : messageOf(error);
    throw new SceneFaults([{ path: '', expected: 'a file of text that can be read', found }]);
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
