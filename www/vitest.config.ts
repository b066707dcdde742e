import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

// What needs no browser. The page itself is tested by Playwright.
export default defineConfig({
  plugins: [svelte()],
  test: { include: ['tests/unit/**/*.test.ts'] },
});
