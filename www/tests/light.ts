// Shared by the browser tests: waits for the first lit frame and measures a screenshot.
import { expect, type Page } from '@playwright/test';

/** The page sets `data-lit="yes"` on its root element once the first lit frame has been drawn. */
export async function waitUntilLit(page: Page): Promise<void> {
  await expect(page.locator('html')).toHaveAttribute('data-lit', 'yes', { timeout: 60_000 });
}

export interface Light {
  /** Share of pixels brighter than a dim wall (largest channel above 60 of 255). */
  bright: number;
  /** Share of pixels that are bright and clearly coloured (channels at least 40 of 255 apart). */
  coloured: number;
  /** Number of different colours among those, at 16 steps per channel. */
  colours: number;
  /** Changes with any pixel. */
  hash: number;
}

/**
 * Measures a PNG, in base64. The page's own surfaces and text are neutral, so colour can only come from glass: a blank
 * or unlit page has none. Runs in a page and refers to nothing outside itself. `part`: only what this element covers of
 * a screenshot of that page.
 */
export async function lightOf(base64: string, part: string | null): Promise<Light> {
  const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
  const picture = await createImageBitmap(new Blob([bytes], { type: 'image/png' }));
  const scale = picture.width / innerWidth;
  const box = part === null ? null : document.querySelector(part)?.getBoundingClientRect();
  if (box === undefined) throw new Error(`the page has no ${part}`);
  const canvas = document.createElement('canvas');
  canvas.width = box === null ? picture.width : Math.floor(box.width * scale);
  canvas.height = box === null ? picture.height : Math.floor(box.height * scale);
  const context = canvas.getContext('2d');
  if (context === null) throw new Error('no 2D canvas to measure the screenshot with');
  context.drawImage(picture, -Math.round((box?.x ?? 0) * scale), -Math.round((box?.y ?? 0) * scale));
  const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
  let bright = 0;
  let coloured = 0;
  let hash = 0;
  const seen = new Set<number>();
  for (let i = 0; i < data.length; i += 4) {
    const [r = 0, g = 0, b = 0] = data.subarray(i, i + 3);
    hash = (Math.imul(hash, 31) + ((r << 16) | (g << 8) | b)) | 0;
    const most = Math.max(r, g, b);
    if (most <= 60) continue;
    bright += 1;
    if (most - Math.min(r, g, b) < 40) continue;
    coloured += 1;
    seen.add(((r >> 4) << 8) | ((g >> 4) << 4) | (b >> 4));
  }
  const all = data.length / 4;
  return { bright: bright / all, coloured: coloured / all, colours: seen.size, hash };
}

/** Measures a PNG in a page of its own, which has no policy. */
export async function measureLight(page: Page, png: Buffer): Promise<Light> {
  const scratch = await page.context().newPage();
  try {
    return await scratch.evaluate<Light>(`(${lightOf.toString()})(${JSON.stringify(png.toString('base64'))}, null)`);
  } finally {
    await scratch.close();
  }
}
