import { readdir, readFile, stat } from 'node:fs/promises';
import { extname, join, resolve } from 'node:path';
import { promisify } from 'node:util';
import { brotliCompress, constants } from 'node:zlib';
import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';

/** The development server inlines styles, which the built page's policy forbids. */
const allowInlineStylesWhileDeveloping: Plugin = {
  name: 'allow-inline-styles-while-developing',
  apply: 'serve',
  transformIndexHtml: (html) => html.replace("style-src 'self'", "style-src 'self' 'unsafe-inline'"),
};

const TYPES: Record<string, string> = {
  '.css': 'text/css',
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.txt': 'text/plain',
  '.wasm': 'application/wasm',
  '.webmanifest': 'application/manifest+json',
};

/** The preview compresses what a web server would, so that measurements on it are realistic. */
const compressedAsOnTheWeb: Plugin = {
  name: 'compressed-as-on-the-web',
  apply: 'serve',
  async configurePreviewServer({ config, middlewares }) {
    const folder = resolve(config.root, config.build.outDir);
    const packed = new Map<string, { changed: number; body: Buffer }>();
    const pack = async (path: string): Promise<Buffer> => {
      const changed = (await stat(path)).mtimeMs;
      const known = packed.get(path);
      if (known?.changed === changed) return known.body;
      const options = { params: { [constants.BROTLI_PARAM_QUALITY]: 9 } };
      const body = await promisify(brotliCompress)(await readFile(path), options);
      packed.set(path, { changed, body });
      return body;
    };
    const files = (await readdir(folder, { recursive: true })).filter((name) => extname(name) in TYPES);
    // Compressed in advance, so that the first request does not wait for it.
    await Promise.all(files.map((name) => pack(join(folder, name))));
    middlewares.use((request, response, next) => {
      const { pathname } = new URL(request.url ?? '/', 'http://preview');
      const name = pathname.endsWith('/') ? `${pathname}index.html` : pathname;
      const type = TYPES[extname(name)];
      if (type === undefined || !request.headers['accept-encoding']?.includes('br')) {
        next();
        return;
      }
      pack(join(folder, name)).then(
        (body) => {
          response.writeHead(200, {
            'Cache-Control': 'no-cache',
            'Content-Encoding': 'br',
            'Content-Length': body.length,
            'Content-Type': type.startsWith('text/') ? `${type}; charset=utf-8` : type,
            Vary: 'Accept-Encoding',
          });
          response.end(body);
        },
        // For missing files, the preview itself answers.
        () => next(),
      );
    });
  },
};

/** Stores the page for offline use. A new version waits until the user accepts it (state/offline.svelte.ts). */
const keptOffline = VitePWA({
  registerType: 'prompt',
  // The page registers the worker itself, once the window is lit.
  injectRegister: false,
  manifest: {
    name: 'Clerestory',
    short_name: 'Clerestory',
    description: 'A stained-glass window in its real daylight.',
    lang: 'en',
    start_url: './',
    scope: './',
    display: 'standalone',
    background_color: '#151515',
    theme_color: '#151515',
    categories: ['design', 'graphics', 'productivity'],
    icons: [
      { src: 'icon-192.png', sizes: '192x192', type: 'image/png' },
      { src: 'icon-512.png', sizes: '512x512', type: 'image/png' },
      { src: 'icon-maskable-512.png', sizes: '512x512', type: 'image/png', purpose: 'maskable' },
      { src: 'icon.svg', sizes: 'any', type: 'image/svg+xml' },
    ],
  },
  workbox: {
    globPatterns: ['**/*.{html,js,css,wasm,json,woff2,svg,png,txt,webmanifest}'],
    maximumFileSizeToCacheInBytes: 12_000_000,
    // Queries such as `?scene=` are for the page, which is a single file.
    navigateFallback: 'index.html',
    navigateFallbackDenylist: [/\.txt$/],
    cleanupOutdatedCaches: true,
    inlineWorkboxRuntime: true,
    sourcemap: false,
  },
});

export default defineConfig({
  base: './',
  plugins: [svelte(), allowInlineStylesWhileDeveloping, compressedAsOnTheWeb, keptOffline],
  // The demo scenes lie beside www/, not in it.
  server: { fs: { allow: ['..'] } },
  worker: { format: 'es' },
  build: {
    target: 'es2023',
    // Fonts and wasm stay files: the policy does not allow `data:` for them, and the wasm can stream.
    assetsInlineLimit: 0,
    // One wasm module beside a page of a few tens of kilobytes.
    chunkSizeWarningLimit: 400,
    reportCompressedSize: false,
  },
});
