// A wasm module that is fetched and compiled once, and only when it is wanted.
import { messageOf } from './faults';
import { compile } from './module';

/** `part`: what could not be loaded, in words. */
export function compiledPart(wasmUrl: string, part: string): () => Promise<WebAssembly.Module> {
  let module: Promise<WebAssembly.Module> | null = null;
  return () => {
    module ??= compile(wasmUrl).catch((error: unknown) => {
      // The next piece of work tries again.
      module = null;
      throw new Error(`${part} could not be loaded (${messageOf(error)})`);
    });
    return module;
  };
}
