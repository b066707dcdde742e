// Reads a scene file and builds it once to see whether it can be built, in an instance of the module that is thrown
// away: whatever the file is, the page goes on.
import { SceneFaults, asOurs } from './faults';
import type { FromCheck, ToCheck } from './messages';
import { instantiate } from './module';

const scope = self as unknown as {
  onmessage: ((event: MessageEvent<ToCheck>) => void) | null;
  postMessage(message: FromCheck): void;
};

async function check({ module, file }: ToCheck): Promise<void> {
  let text: string;
  try {
    scope.postMessage({ kind: 'doing', what: 'reading' });
    // Bytes that are no UTF-8 would otherwise become other letters without a word.
    text = new TextDecoder('utf-8', { fatal: true }).decode(await file.arrayBuffer());
  } catch (error) {
    const found = error instanceof TypeError ? 'bytes that are no UTF-8' : String(error);
    scope.postMessage({ kind: 'faults', faults: [{ path: '', expected: 'a file of text that can be read', found }] });
    return;
  }
  try {
    scope.postMessage({ kind: 'doing', what: 'building' });
    const glue = await instantiate(module);
    new glue.SceneDocument(text).free();
    scope.postMessage({ kind: 'whole', text });
  } catch (raw) {
    const error = asOurs(raw);
    const faults =
      error instanceof SceneFaults
        ? error.faults
        : [{ path: '', expected: 'a scene that can be built', found: `one that stops the engine (${String(error)})` }];
    scope.postMessage({ kind: 'faults', faults });
  }
}

scope.onmessage = ({ data }) => void check(data);
