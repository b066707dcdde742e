// Reads a scene file and builds it once, in a temporary instance of the module, so that no file can harm the page.
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

serve<CheckCalls>((glue) => ({
  check: async (file, reply) => {
    reply.progress('reading');
    const text = await read(file);
    reply.progress('building');
    new glue.SceneDocument(text).free();
    reply.answer(text);
  },
}));
