import { defineConfig } from '@playwright/test';
import { chromiumPath, FLAGS, type Backend } from './tests/browsers';

const port = Number(process.env['CLERESTORY_PORT'] ?? 4173);

const LOOK = 'look.spec.ts';
const BENCH = 'bench.spec.ts';
// What is the same however the picture is drawn: once is enough.
const WHATEVER_DRAWS = [
  'access.spec.ts',
  'attachments.spec.ts',
  'display.spec.ts',
  'files.spec.ts',
  'autosave.spec.ts',
  'offline.spec.ts',
  'place.spec.ts',
  'tour.spec.ts',
  'traps.spec.ts',
  'variants.spec.ts',
  'year.spec.ts',
];

// What only some browsers have is tagged with what it needs.
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
  // The software GPU takes all the cores there are: one browser at a time.
  workers: 1,
  forbidOnly: true,
  // A first frame takes half a second, a 1440 × 900 one some 300 ms, twice that on a busy machine.
  timeout: 120_000,
  expect: { timeout: 30_000 },
  reporter: 'list',
  // What is kept for use without a network is tested by itself; elsewhere it would only cost time.
  use: { baseURL: `http://127.0.0.1:${port}/`, locale: 'en-GB', serviceWorkers: 'block' },
  projects: [
    {
      name: 'webgpu',
      grepInvert: ELSEWHERE.webgpu,
      testIgnore: [LOOK, BENCH, ...WHATEVER_DRAWS],
      use: { launchOptions: launchOptions('webgpu') },
    },
    {
      name: 'webgl2',
      grepInvert: ELSEWHERE.webgl2,
      testIgnore: [LOOK, BENCH],
      use: { launchOptions: launchOptions('webgl2') },
    },
    {
      name: 'none',
      grepInvert: ELSEWHERE.none,
      testIgnore: [LOOK, BENCH, ...WHATEVER_DRAWS],
      use: { launchOptions: launchOptions('none') },
    },
    // Not a test: takes the screenshots of `cargo xtask look`.
    { name: 'look', testMatch: LOOK, use: { launchOptions: launchOptions('webgpu') } },
    // Nor these: they measure for `cargo xtask bench page`.
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
