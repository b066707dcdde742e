// Loads the wasm module once and makes instances of it. After a trap an instance is unusable, and the glue holds
// exactly one: a fragment on its address makes the browser evaluate the same file again, with separate state.
import glueUrl from '../pkg/web.js?url';
import wasmUrl from '../pkg/web_bg.wasm?url';
import type { Glue } from './contract';
import { fetchPart } from './fetch-part';

let nth = 0;

/** Compiles the page's first module, or another by its address; the result may be posted to a worker. */
export async function compile(address: string = wasmUrl): Promise<WebAssembly.Module> {
  const response = await fetchPart(address);
  return response.headers.get('content-type')?.startsWith('application/wasm')
    ? WebAssembly.compileStreaming(response)
    : WebAssembly.compile(await response.arrayBuffer());
}

/** A fresh instance with its own memory. */
export async function instantiate(module: WebAssembly.Module): Promise<Glue> {
  nth += 1;
  const address = new URL(glueUrl, self.location.href);
  address.hash = `${nth}`;
  const glue = (await import(/* @vite-ignore */ address.href)) as Glue;
  await glue.default({ module_or_path: module });
  return glue;
}
