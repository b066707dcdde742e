// The picture's own states: through which interface it is drawn, a lost device, none at all.
import { expect, test } from '@playwright/test';
import { waitUntilLit } from './light';
import { SMALL, figure, open, settled, windowPixels } from './page';

test('is drawn through the interface that the browser has', { tag: '@picture' }, async ({ page }, info) => {
  await open(page, info.project.name);
  await page.getByRole('button', { name: 'More', exact: true }).click();
  await page.getByRole('button', { name: 'About these figures' }).click();
  const expected = info.project.name === 'webgpu' ? 'WebGPU' : 'WebGL2';
  await expect(page.getByRole('dialog')).toContainText(`drawn through ${expected}`);
});

test('colour-true differs from appearance and comes back', { tag: '@picture' }, async ({ page }, info) => {
  await open(page, info.project.name);
  await settled(page, info.project.name);
  const mode = (name: string) => page.locator('.wall').getByText(name, { exact: true });
  const appearance = await windowPixels(page);
  await mode('Colour-true').click();
  await expect.poll(() => windowPixels(page)).not.toBe(appearance);
  await mode('Appearance').click();
  await expect.poll(() => windowPixels(page)).toBe(appearance);
});

// A page can lose a WebGL2 context at will, a WebGPU device not.
test('comes back on a new canvas when the device is lost', { tag: '@webgl2' }, async ({ page }, info) => {
  await open(page, info.project.name);
  await settled(page, info.project.name);
  const before = await windowPixels(page);
  await page.evaluate(() => {
    const canvas = document.querySelector('canvas');
    canvas?.setAttribute('data-was', 'lost');
    delete document.documentElement.dataset['lit'];
    canvas?.getContext('webgl2')?.getExtension('WEBGL_lose_context')?.loseContext();
  });
  await waitUntilLit(page);
  await expect(page.locator('canvas[data-was]')).toHaveCount(0);
  expect(await windowPixels(page)).toBe(before);
});

test('without a GPU the page says so and the figures go on', { tag: '@none' }, async ({ page }) => {
  await page.setViewportSize(SMALL);
  await page.goto('./');
  const message = page.locator('.message');
  await expect(message).toContainText('This browser shows no picture here: no WebGPU or WebGL2.');
  await expect(message).toContainText('hardware acceleration');
  await expect(figure(page, 'total_lx')).toBeVisible({ timeout: 60_000 });
});
