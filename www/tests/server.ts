// Serves the built page from a subfolder of its origin, as a studio's own site might. It can publish a new version, go
// offline, or have the page run a script of the test's first.
import { createReadStream, readFileSync, statSync } from 'node:fs';
import { createServer, type Server } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const DIST = fileURLToPath(new URL('../dist/', import.meta.url));
const FOLDER = '/of/the/studio/';
const FIRST_SCRIPT = 'first.js';

const TYPES: Record<string, string> = {
  '.css': 'text/css',
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.png': 'image/png',
  '.svg': 'image/svg+xml',
  '.txt': 'text/plain; charset=utf-8',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
  '.woff2': 'font/woff2',
};

export class StudioServer {
  /** Written into the page and into the worker's precache list, so that each version differs in both. */
  version = 1;
  /** What the page runs before anything else; nothing if empty. */
  firstScript = '';
  /** Every path requested. */
  readonly asked: string[] = [];
  #server: Server;
  #port = 0;

  private constructor() {
    this.#server = createServer((request, response) => {
      const { pathname } = new URL(request.url ?? '/', 'http://localhost');
      this.asked.push(pathname);
      if (!pathname.startsWith(FOLDER)) {
        response.writeHead(404).end();
        return;
      }
      const name = pathname.slice(FOLDER.length) || 'index.html';
      if (name === FIRST_SCRIPT) {
        response.writeHead(200, { 'content-type': 'text/javascript', 'cache-control': 'no-cache' });
        response.end(this.firstScript);
        return;
      }
      const file = join(DIST, name);
      try {
        if (!file.startsWith(DIST) || !statSync(file).isFile()) throw new Error(name);
      } catch {
        response.writeHead(404).end();
        return;
      }
      response.setHeader('content-type', TYPES[extname(file)] ?? 'application/octet-stream');
      response.setHeader('cache-control', 'no-cache');
      if (name === 'index.html') {
        response.end(this.#page(readFileSync(file, 'utf8')));
      } else if (name === 'sw.js') {
        response.end(this.#worker(readFileSync(file, 'utf8')));
      } else {
        createReadStream(file).pipe(response);
      }
    });
  }

  static async start(): Promise<StudioServer> {
    const server = new StudioServer();
    await new Promise<void>((resolve) => server.#server.listen(0, '127.0.0.1', resolve));
    server.#port = (server.#server.address() as AddressInfo).port;
    return server;
  }

  #page(text: string): string {
    const page = text.replace('<html ', `<html data-version="${this.version}" `);
    if (this.firstScript === '') return page;
    return page.replace('<head>', `<head><script src="${FIRST_SCRIPT}"></script>`);
  }

  #worker(text: string): string {
    const changed = text.replace(/(url:"index\.html",revision:")[0-9a-f]+/, `$1${this.version}`);
    if (changed === text) throw new Error('dist/sw.js lists no index.html with a revision.');
    return changed;
  }

  get address(): string {
    return `http://127.0.0.1:${this.#port}${FOLDER}`;
  }

  /** May be called more than once. */
  stop(): Promise<void> {
    this.#server.closeAllConnections();
    return new Promise((resolve) => this.#server.close(() => resolve()));
  }
}
