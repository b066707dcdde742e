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
}

/**
 * Measures a PNG. The page's own surfaces and text are neutral, so colour can only come from glass: a blank or unlit
 * page has none.
 */
export async function measureLight(page: Page, png: Buffer): Promise<Light> {
  const scratch = await page.context().newPage();
  try {
    return await scratch.evaluate(async (base64) => {
      const picture = new Image();
      picture.src = `data:image/png;base64,${base64}`;
      await picture.decode();
      const canvas = document.createElement('canvas');
      canvas.width = picture.naturalWidth;
      canvas.height = picture.naturalHeight;
      const context = canvas.getContext('2d');
      if (context === null) throw new Error('no 2D canvas to measure the screenshot with');
      context.drawImage(picture, 0, 0);
      const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
      let bright = 0;
      let coloured = 0;
      const seen = new Set<number>();
      for (let i = 0; i < data.length; i += 4) {
        const [r = 0, g = 0, b = 0] = data.subarray(i, i + 3);
        const most = Math.max(r, g, b);
        if (most <= 60) continue;
        bright += 1;
        if (most - Math.min(r, g, b) < 40) continue;
        coloured += 1;
        seen.add(((r >> 4) << 8) | ((g >> 4) << 4) | (b >> 4));
      }
      const all = data.length / 4;
      return { bright: bright / all, coloured: coloured / all, colours: seen.size };
    }, png.toString('base64'));
  } finally {
    await scratch.close();
  }
}
