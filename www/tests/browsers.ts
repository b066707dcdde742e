// Chromium with a software GPU, in three configurations. Each has the fewest flags with which it is stable: with only
// part of the WebGPU flags an adapter is offered, but the device is then lost.
import { existsSync } from 'node:fs';

const SWIFTSHADER = ['--use-angle=swiftshader', '--enable-unsafe-swiftshader'];

export const FLAGS = {
  webgpu: [
    '--enable-unsafe-webgpu',
    '--enable-features=Vulkan',
    '--use-vulkan=swiftshader',
    '--use-webgpu-adapter=swiftshader',
    ...SWIFTSHADER,
  ],
  webgl2: SWIFTSHADER,
  none: ['--disable-gpu', '--disable-software-rasterizer', '--disable-3d-apis'],
} as const;

export type Backend = keyof typeof FLAGS;

export const BACKENDS = ['webgpu', 'webgl2', 'none'] as const satisfies readonly Backend[];

const USUAL_PLACES = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome-stable',
  '/usr/bin/google-chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
  'C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe',
];

/** Path of the browser: `CLERESTORY_CHROMIUM` if set (xtask sets it), otherwise the usual places. */
export function chromiumPath(): string {
  const path = process.env['CLERESTORY_CHROMIUM'] ?? USUAL_PLACES.find((place) => existsSync(place));
  if (path === undefined) {
    throw new Error('No Chromium found. Install it, or set CLERESTORY_CHROMIUM to its path.');
  }
  return path;
}
