// Reads a scene file and builds it once, in a throw-away instance of the module: whatever the file does, the page is
// safe.
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

serve<CheckCalls>((glue) => ({
  check: async (file, reply) => {
    reply.progress('reading');
    const text = await read(file);
    reply.progress('building');
    new glue.SceneDocument(text).free();
    reply.answer(text);
  },
}));
