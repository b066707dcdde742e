import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';

/** The development server puts styles into the page as text, which the built page's policy forbids. */
const allowInlineStylesWhileDeveloping: Plugin = {
  name: 'allow-inline-styles-while-developing',
  apply: 'serve',
  transformIndexHtml: (html) => html.replace("style-src 'self'", "style-src 'self' 'unsafe-inline'"),
};

export default defineConfig({
  base: './',
  plugins: [svelte(), allowInlineStylesWhileDeveloping],
  // The demo scenes lie beside www/, not in it.
  server: { fs: { allow: ['..'] } },
  worker: { format: 'es' },
  build: {
    target: 'es2023',
    // Fonts and wasm stay files: the policy has no room for data: there, and the wasm streams.
    assetsInlineLimit: 0,
    // One wasm module beside a page of a few tens of kilobytes.
    chunkSizeWarningLimit: 400,
    reportCompressedSize: false,
  },
});
