import { defineConfig } from '@playwright/test';
import { chromiumPath, FLAGS, type Backend } from './tests/browsers';

const port = Number(process.env['CLERESTORY_PORT'] ?? 4173);

const LOOK = 'look.spec.ts';
const BENCH = 'bench.spec.ts';
// Only where what is dropped waits for the collector.
const WEBGPU_ONLY = 'memory.spec.ts';
// Runs once, with a card: it checks what the drawing worker fetches, too.
const TOUR = 'tour.spec.ts';
// Tests that do not depend on how the picture is drawn run once, where a page costs least: without a GPU.
const WHATEVER_DRAWS = [
  'access.spec.ts',
  'attachments.spec.ts',
  'display.spec.ts',
  'files.spec.ts',
  'autosave.spec.ts',
  'new-window.spec.ts',
  'offline.spec.ts',
  'place.spec.ts',
  'traps.spec.ts',
  'variants.spec.ts',
  'year.spec.ts',
];

// Tests for only some browsers are tagged with what they need.
const ELSEWHERE = { webgpu: /@webgl2|@none/, webgl2: /@none/, none: /@webgl2/ };

const launchOptions = (backend: Backend) => ({
  executablePath: chromiumPath(),
  chromiumSandbox: false,
  args: [...FLAGS[backend]],
});

export default defineConfig({
  testDir: './tests',
  testMatch: '*.spec.ts',
  outputDir: './test-results',
  // The software GPU uses all cores: one browser at a time.
  workers: 1,
  forbidOnly: true,
  // A first frame takes half a second, a 1440 × 900 one some 300 ms, twice that on a busy machine.
  timeout: 120_000,
  expect: { timeout: 30_000 },
  reporter: 'list',
  // Offline storage is tested separately; elsewhere it would only cost time.
  use: { baseURL: `http://127.0.0.1:${port}/`, locale: 'en-GB', serviceWorkers: 'block' },
  projects: [
    {
      name: 'webgpu',
      grepInvert: ELSEWHERE.webgpu,
      testIgnore: [LOOK, BENCH, TOUR, ...WHATEVER_DRAWS],
      use: { launchOptions: launchOptions('webgpu') },
    },
    {
      name: 'webgl2',
      grepInvert: ELSEWHERE.webgl2,
      testIgnore: [LOOK, BENCH, WEBGPU_ONLY, ...WHATEVER_DRAWS],
      use: { launchOptions: launchOptions('webgl2') },
    },
    {
      name: 'none',
      grepInvert: ELSEWHERE.none,
      testIgnore: [LOOK, BENCH, TOUR, WEBGPU_ONLY],
      use: { launchOptions: launchOptions('none') },
    },
    // Not a test: takes the screenshots of `cargo xtask look`.
    { name: 'look', testMatch: LOOK, use: { launchOptions: launchOptions('webgpu') } },
    // Not tests either: measurements for `cargo xtask bench page`.
    ...(['webgpu', 'webgl2', 'none'] as const).map((backend) => ({
      name: `bench-${backend}`,
      testMatch: BENCH,
      use: { launchOptions: launchOptions(backend) },
    })),
  ],
  webServer: {
    command: `node node_modules/vite/bin/vite.js preview --host 127.0.0.1 --port ${port} --strictPort`,
    url: `http://127.0.0.1:${port}/`,
    reuseExistingServer: false,
  },
});
