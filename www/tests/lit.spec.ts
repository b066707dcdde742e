// A single load must show a lit window. `cargo xtask preview --check` runs only this file.
import { expect, test } from '@playwright/test';
import { measureLight, waitUntilLit } from './light';

test('one load shows a lit window', { tag: '@picture' }, async ({ page }, info) => {
  await page.setViewportSize({ width: 800, height: 600 });
  await page.goto('./');
  await waitUntilLit(page);

  const png = await page.screenshot({ path: info.outputPath('lit.png') });
  const light = await measureLight(page, png);
  // A window fills much of the page; a single colour would be a flat fill, not a window.
  expect(light.bright, 'share of bright pixels').toBeGreaterThan(0.03);
  expect(light.coloured, 'share of coloured pixels').toBeGreaterThan(0.005);
  expect(light.colours, 'different colours').toBeGreaterThan(10);
});
