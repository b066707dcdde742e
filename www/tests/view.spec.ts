// Zoom and pan: wheel, keys, buttons, fingers; the scale bar; what stays when the page is resized.
import { expect, type Page } from '@playwright/test';
import { choosePiece, openDemo, settled, windowPixels } from './page';
import { test } from './shown';

interface Placed {
  left: number;
  top: number;
  scale: number;
}

const placed = (page: Page): Promise<Placed> =>
  page.getByRole('listbox', { name: /Pieces of the window/ }).evaluate((list) => {
    const numbers = (list.getAttribute('transform') ?? '').match(/-?[\d.]+(e-?\d+)?/g)?.map(Number) ?? [];
    const [left = NaN, top = NaN, scale = NaN] = numbers;
    return { left, top, scale };
  });

const button = (page: Page, name: string) => page.getByRole('button', { name, exact: true });

async function wallBox(page: Page): Promise<{ x: number; y: number; width: number; height: number }> {
  const box = await page.locator('.area').boundingBox();
  if (box === null) throw new Error('the wall has no box');
  return box;
}

test.beforeEach(({ shown: page }) => page.emulateMedia({ reducedMotion: 'reduce' }));

test(
  'the wheel keeps the point under the pointer, and a button fits the whole window again',
  { tag: '@picture' },
  async ({ shown: page }) => {
    await settled(page);
    const whole = { at: await placed(page), pixels: await windowPixels(page) };
    await expect(button(page, 'Zoom out')).toBeDisabled();
    const box = await wallBox(page);
    // A wheel's position is reported in whole pixels.
    const [x, y] = [Math.round(box.x + box.width * 0.55) - box.x, Math.round(box.y + box.height * 0.4) - box.y];
    const panel = (at: Placed): [number, number] => [(x - at.left) / at.scale, (y - at.top) / at.scale];
    const before = panel(whole.at);
    await page.mouse.move(box.x + x, box.y + y);
    await page.mouse.wheel(0, -400);
    await expect.poll(async () => (await placed(page)).scale).toBeGreaterThan(whole.at.scale * 1.4);
    const near = await placed(page);
    // To a tenth of a pixel.
    const after = panel(near);
    expect(Math.abs(after[0] - before[0]) * near.scale).toBeLessThan(0.1);
    expect(Math.abs(after[1] - before[1]) * near.scale).toBeLessThan(0.1);
    await expect(page.locator('.scale')).toContainText(/\d+ mm/);
    await expect.poll(() => windowPixels(page)).not.toBe(whole.pixels);
    await button(page, 'Fit the whole window').click();
    expect(await placed(page)).toEqual(whole.at);
    await expect(page.locator('.scale')).toHaveCount(0);
    await expect.poll(() => windowPixels(page)).toBe(whole.pixels);
  },
);

test('the scale bar is as long as it says', async ({ shown: page }) => {
  for (let k = 0; k < 4; k += 1) {
    await button(page, 'Zoom in').click();
    const { scale } = await placed(page);
    const words = await page.locator('.scale').innerText();
    const bar = await page.locator('.scale .bar').boundingBox();
    expect((bar?.width ?? 0) / Number.parseFloat(words)).toBeCloseTo(scale, 1);
  }
});

test('keys zoom, pan and fit; a drag pans and never loses the window', async ({ shown: page }) => {
  await choosePiece(page);
  const whole = await placed(page);
  await page.keyboard.press('+');
  await page.keyboard.press('+');
  const near = await placed(page);
  expect(near.scale).toBeCloseTo(whole.scale * 2.25, 5);
  await page.keyboard.press('Alt+ArrowDown');
  expect((await placed(page)).top).toBeLessThan(near.top);
  const chosen = await page.locator('[role=option][aria-selected=true]').getAttribute('id');
  const box = await wallBox(page);
  const from = await placed(page);
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + 30, { steps: 3 });
  await page.mouse.up();
  expect((await placed(page)).top).toBeCloseTo(from.top + 30, 3);
  // A drag selects nothing.
  await expect(page.locator('[role=option][aria-selected=true]')).toHaveAttribute('id', chosen ?? '');
  await page.mouse.move(box.x + box.width / 2, box.y + 10);
  await page.mouse.down({ button: 'middle' });
  await page.mouse.move(box.x + box.width / 2, box.y + 4000, { steps: 2 });
  await page.mouse.up({ button: 'middle' });
  const frame = await page.locator('path.frame').boundingBox();
  expect(frame?.y ?? NaN).toBeLessThan(box.y + box.height / 2);
  await page.getByRole('listbox', { name: /Pieces of the window/ }).focus();
  await page.keyboard.press('0');
  expect(await placed(page)).toEqual(whole);
  await page.keyboard.press('-');
  expect(await placed(page)).toEqual(whole);
});

test('two fingers zoom and pan, a double tap zooms in', async ({ shown: page }) => {
  const context = page.context();
  const client = await context.newCDPSession(page);
  const touch = (type: string, points: { x: number; y: number; id?: number }[]): Promise<unknown> =>
    client.send('Input.dispatchTouchEvent', { type: type as 'touchStart', touchPoints: points });
  const whole = await placed(page);
  const box = await wallBox(page);
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const two = (apart: number) => [
    { x: x - apart / 2, y, id: 0 },
    { x: x + apart / 2, y, id: 1 },
  ];
  await touch('touchStart', two(80));
  for (const apart of [100, 130, 160]) await touch('touchMove', two(apart));
  await touch('touchEnd', []);
  expect((await placed(page)).scale).toBeCloseTo(whole.scale * 2, 3);
  await expect(page.locator('[role=option][aria-selected=true]')).toHaveCount(0);
  await button(page, 'Fit the whole window').click();
  await expect.poll(async () => (await placed(page)).scale).toBeCloseTo(whole.scale, 3);
  // Quick taps carry their own times, however long the page takes over each.
  const now = Date.now() / 1000;
  const taps = [0, 0.05, 0.15, 0.2].map((after, k) =>
    client.send('Input.dispatchTouchEvent', {
      type: k % 2 === 0 ? 'touchStart' : 'touchEnd',
      touchPoints: k % 2 === 0 ? [{ x, y }] : [],
      timestamp: now + after,
    }),
  );
  await Promise.all(taps);
  // Zooming in takes some frames.
  await expect.poll(async () => (await placed(page)).scale).toBeCloseTo(whole.scale * 2.5, 3);
});

test('resizing the page keeps the view, another scene starts fitted', { tag: '@picture' }, async ({ shown: page }) => {
  await button(page, 'Zoom in').click();
  const seen = async (): Promise<[number, number]> => {
    const [box, at] = [await wallBox(page), await placed(page)];
    return [(box.width / 2 - at.left) / at.scale, (box.height / 2 - at.top) / at.scale];
  };
  await page.keyboard.press('Alt+ArrowDown');
  const before = await seen();
  await page.setViewportSize({ width: 760, height: 560 });
  await expect
    .poll(async () => Math.hypot(...((await seen()).map((v, k) => v - before[k]!) as [number, number])))
    .toBeLessThan(0.5);
  await expect(button(page, 'Zoom out')).toBeEnabled();
  await openDemo(page, 'small-rose');
  await expect(button(page, 'Zoom out')).toBeDisabled();
});
