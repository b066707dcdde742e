import { defineConfig } from '@playwright/test';
import { BACKENDS, chromiumPath, FLAGS, type Backend } from './tests/browsers';

const port = Number(process.env['CLERESTORY_PORT'] ?? 4173);

const LOOK = 'look.spec.ts';
const BENCH = 'bench.spec.ts';
// In browsers that Playwright does not drive.
const ENGINES = 'engines/*.spec.ts';

// What a test depends on is its tag: with @picture it runs with every way of drawing, with the name of one only there.
// All others run once, in `page`: without a GPU, where a page costs least.
// Few pixels, because the time of a software GPU goes by them: a quarter as many each way show the same light.
const FEW_PIXELS = 0.25;
const DRAWN = /@picture|@webgpu|@webgl2|@none/;

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
      name: 'page',
      grepInvert: DRAWN,
      testIgnore: [LOOK, BENCH, ENGINES],
      use: { deviceScaleFactor: FEW_PIXELS, launchOptions: launchOptions('none') },
    },
    ...BACKENDS.map((name) => ({
      name,
      grep: new RegExp(`@picture|@${name}`),
      testIgnore: [LOOK, BENCH, ENGINES],
      use: { deviceScaleFactor: FEW_PIXELS, launchOptions: launchOptions(name) },
    })),
    // Each starts the browser of its name; see tests/engines.
    { name: 'firefox', testMatch: ENGINES, timeout: 60_000 },
    { name: 'webkit', testMatch: ENGINES, timeout: 60_000 },
    // Not a test: takes the screenshots of `cargo xtask look`.
    { name: 'look', testMatch: LOOK, use: { launchOptions: launchOptions('webgpu') } },
    // Not tests either: measurements for `cargo xtask bench page`.
    ...BACKENDS.map((backend) => ({
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
