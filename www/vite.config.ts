import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig, type Plugin } from 'vite';
import { VitePWA } from 'vite-plugin-pwa';

/** The development server puts styles into the page as text, which the built page's policy forbids. */
const allowInlineStylesWhileDeveloping: Plugin = {
  name: 'allow-inline-styles-while-developing',
  apply: 'serve',
  transformIndexHtml: (html) => html.replace("style-src 'self'", "style-src 'self' 'unsafe-inline'"),
};

/** The page kept for use without a network. A new version waits until it is asked for (state/offline.svelte.ts). */
const keptOffline = VitePWA({
  registerType: 'prompt',
  // The page registers the worker itself, when the window is lit.
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
    globPatterns: ['**/*.{html,js,css,wasm,woff2,svg,png,txt,webmanifest}'],
    maximumFileSizeToCacheInBytes: 12_000_000,
    // `?scene=` and the like are for the page, which is one file.
    navigateFallback: 'index.html',
    navigateFallbackDenylist: [/\.txt$/],
    cleanupOutdatedCaches: true,
    inlineWorkboxRuntime: true,
    sourcemap: false,
  },
});

export default defineConfig({
  base: './',
  plugins: [svelte(), allowInlineStylesWhileDeveloping, keptOffline],
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
