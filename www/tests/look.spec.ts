// Screenshots at the sizes the page is designed for: `cargo xtask look` names the folder.
import { test } from '@playwright/test';
import { waitUntilLit } from './light';

const SIZES = [
  [1440, 900],
  [1024, 768],
  [390, 844],
] as const;

for (const [width, height] of SIZES) {
  test(`${width} × ${height}`, async ({ page }) => {
    const folder = process.env['CLERESTORY_LOOK'];
    if (folder === undefined) throw new Error('Set CLERESTORY_LOOK to the folder for the pictures.');
    await page.setViewportSize({ width, height });
    await page.goto('./');
    // A page that does not light up is still worth looking at; the test then fails after its picture.
    const lit = waitUntilLit(page).then(
      () => undefined,
      (error: unknown) => error,
    );
    const fault = await lit;
    await page.screenshot({ path: `${folder}/${width}x${height}.png` });
    if (fault !== undefined) throw fault;
  });
}
