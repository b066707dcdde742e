import { svelte } from '@sveltejs/vite-plugin-svelte';
import { defineConfig } from 'vitest/config';

// Tests that need no browser. Playwright tests the page itself.
export default defineConfig({
  plugins: [svelte()],
  test: { include: ['tests/unit/**/*.test.ts'] },
});
