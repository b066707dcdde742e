// The states of the picture: the graphics interface, a lost device, no device at all.
import { readFile } from 'node:fs/promises';
import { expect, type Page } from '@playwright/test';
import { measureLight, waitUntilLit } from './light';
import { addToGlue, open, ribbon, settled, windowPixels } from './page';
import { test } from './shown';

test('is drawn with the interface that the browser has', { tag: '@picture' }, async ({ shown: page }, info) => {
  await page.getByRole('button', { name: 'More', exact: true }).click();
  await page.getByRole('button', { name: 'About these figures' }).click();
  const expected = { webgpu: 'WebGPU', webgl2: 'WebGL2' }[info.project.name] ?? 'the processor';
  await expect(page.getByRole('dialog')).toContainText(`drawn by ${expected}`);
});

test('colour-true differs from appearance and comes back', { tag: '@picture' }, async ({ shown: page }) => {
  await settled(page);
  const mode = (name: string) => page.locator('.wall label').getByText(name, { exact: true });
  const appearance = await windowPixels(page);
  await mode('Colour-true').click();
  await expect.poll(() => windowPixels(page)).not.toBe(appearance);
  await mode('Appearance').click();
  await expect.poll(() => windowPixels(page)).toBe(appearance);
});

// A page can lose a WebGL2 context on purpose, but not a WebGPU device.
test('comes back on a new canvas when the device is lost', { tag: '@webgl2' }, async ({ page }) => {
  await addToGlue(
    page,
    () => `{
  const attach = Picture.attach;
  Picture.attach = (canvas, ...given) => {
    self.lose = () => canvas.getContext('webgl2').getExtension('WEBGL_lose_context').loseContext();
    return attach.call(Picture, canvas, ...given);
  };
}`,
  );
  await open(page);
  await settled(page);
  const before = await windowPixels(page);
  await page.evaluate(() => {
    document.querySelector('canvas')?.setAttribute('data-was', 'lost');
    delete document.documentElement.dataset['lit'];
  });
  const drawing = page.workers().find((worker) => worker.url().includes('picture'));
  await drawing?.evaluate(() => (self as unknown as { lose(): void }).lose());
  await waitUntilLit(page);
  await expect(page.locator('canvas[data-was]')).toHaveCount(0);
  expect(await windowPixels(page)).toBe(before);
});

test(
  'without a graphics card the page says so and draws the same picture',
  { tag: '@none' },
  async ({ shown: page }) => {
    await expect(page.getByText('Drawn without a graphics card: the same picture, slower.')).toBeVisible();
    await settled(page);
    const light = await measureLight(page, await page.locator('.area').screenshot());
    expect(light.coloured, 'share of coloured pixels').toBeGreaterThan(0.005);
    expect(light.colours, 'different colours').toBeGreaterThan(10);
    const before = await windowPixels(page);
    await ribbon(page).focus();
    await page.keyboard.press('PageUp');
    await settled(page);
    expect(await windowPixels(page)).not.toBe(before);
    await page.keyboard.press('PageDown');
    await settled(page);
    expect(await windowPixels(page)).toBe(before);
  },
);

test('a drawing worker that stops is restarted and draws the same picture', { tag: '@none' }, async ({ page }) => {
  await open(page);
  await settled(page);
  const before = await windowPixels(page);
  // The first worker stops; its replacement gets the glue unchanged.
  let painters = 0;
  await addToGlue(page, (_, by) => {
    if (!by.includes('software')) return '';
    painters += 1;
    return painters === 1
      ? "SoftwarePicture.prototype.draw = () => { throw new WebAssembly.RuntimeError('unreachable'); };"
      : '';
  });
  await page.reload();
  await waitUntilLit(page);
  await settled(page);
  expect(painters).toBe(2);
  expect(await windowPixels(page)).toBe(before);
});

/** Hides or shows the page as a browser does when tabs are switched. */
const hide = (page: Page, hidden: boolean): Promise<void> =>
  page.evaluate((value) => {
    Object.defineProperty(document, 'hidden', { configurable: true, get: () => value });
    Object.defineProperty(document, 'visibilityState', {
      configurable: true,
      get: () => (value ? 'hidden' : 'visible'),
    });
    document.dispatchEvent(new Event('visibilitychange'));
  }, hidden);

test('a hidden tab draws nothing, and draws once when shown again', { tag: '@picture' }, async ({ shown: page }) => {
  await settled(page);
  const before = await windowPixels(page);
  const at = await page.locator('html').getAttribute('data-drawn');
  await hide(page, true);
  await ribbon(page).focus();
  await page.keyboard.press('PageUp');
  // The figures continue; two frames later nothing has been drawn.
  await expect(page.locator('[data-report-at]')).not.toHaveAttribute('data-report-at', at ?? '');
  await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
  await expect(page.locator('html')).toHaveAttribute('data-drawn', at ?? '');
  await hide(page, false);
  await settled(page);
  expect(await windowPixels(page)).not.toBe(before);
  await page.keyboard.press('PageDown');
  await settled(page);
  expect(await windowPixels(page)).toBe(before);
});

test('a refused hour does not cost the canvas; the next one is drawn on it', { tag: '@picture' }, async ({ page }) => {
  const refusing = `{
    const refuse = () => { throw new Error(JSON.stringify({ faults: [{ path: '', expected: 'an hour', found: 'none' }] })); };
    let first;
    for (const { prototype } of [Picture, SoftwarePicture]) {
      const { draw } = prototype;
      prototype.draw = function (wish, part) {
        const { at } = JSON.parse(wish);
        return at === (first ??= at) ? draw.call(this, wish, part) : refuse();
      };
    }
  }`;
  await addToGlue(page, () => refusing);
  await open(page);
  await settled(page);
  const before = await windowPixels(page);
  await page.locator('.area canvas').evaluate((canvas) => canvas.setAttribute('data-was', 'here'));
  await ribbon(page).focus();
  await page.keyboard.press('PageUp');
  await expect(page.getByText('This view cannot be drawn.')).toBeVisible();
  await expect(page.locator('canvas[data-was]')).toHaveCount(1);
  await page.keyboard.press('PageDown');
  await settled(page);
  await expect(page.getByText('This view cannot be drawn.')).toHaveCount(0);
  await expect(page.locator('canvas[data-was]')).toBeVisible();
  // The hour last drawn is the same, so only the canvas shows whether it was drawn again.
  await expect.poll(() => windowPixels(page)).toBe(before);
});

test(
  'what the screen cannot show is marked on request, with an explanation',
  { tag: '@picture' },
  async ({ shown: page }) => {
    await settled(page);
    const before = await windowPixels(page);
    await page.getByRole('button', { name: /picture options/ }).click();
    const panel = page.getByRole('group', { name: 'The picture', exact: true });
    await expect(panel).toContainText(/drawn in (sRGB|Display P3)\./);
    await panel.getByLabel('Mark what this screen cannot show').check();
    await page.keyboard.press('Escape');
    await expect(panel).toHaveCount(0);
    await expect(page.getByText(/Rising stripes: brighter than this screen’s white./)).toBeVisible();
    await page.locator('.wall label').getByText('Colour-true', { exact: true }).click();
    await expect.poll(() => windowPixels(page)).not.toBe(before);
    const marked = await windowPixels(page);
    await page.getByRole('button', { name: /picture options/ }).click();
    await panel.getByLabel('Mark what this screen cannot show').uncheck();
    await page.keyboard.press('Escape');
    await expect.poll(() => windowPixels(page)).not.toBe(marked);
  },
);

test('the picture is saved as a PNG of the requested width with its colour space', async ({ shown: page }) => {
  await page.getByRole('button', { name: /picture options/ }).click();
  await page.getByRole('button', { name: /^Save picture/ }).click();
  const dialog = page.getByRole('dialog', { name: 'Save the picture' });
  const width = dialog.getByLabel('Width', { exact: true });
  await width.fill('150');
  await width.press('Enter');
  await dialog.getByLabel('Colour space').selectOption('display_p3');
  const downloading = page.waitForEvent('download');
  await dialog.getByRole('button', { name: 'Save as a file' }).click();
  const download = await downloading;
  expect(download.suggestedFilename()).toMatch(/^.+, \d{4}-\d\d-\d\d \d\d\.\d\d\.png$/);
  const file = await readFile(await download.path());
  expect(file.subarray(1, 4).toString('latin1')).toBe('PNG');
  expect(file.readUInt32BE(16)).toBe(150);
  expect(file.readUInt32BE(20)).toBeGreaterThan(150);
  // Primaries 12: P3 with D65 (ITU-T H.273).
  const chunk = file.indexOf('cICP');
  expect([...file.subarray(chunk + 4, chunk + 8)]).toEqual([12, 13, 0, 1]);
  await expect(dialog.getByRole('button', { name: 'Save as a file' })).toBeVisible();

  // Stop a large one.
  await width.fill('4000');
  await width.press('Enter');
  await dialog.getByRole('button', { name: 'Save as a file' }).click();
  await expect(dialog.getByRole('progressbar')).toBeVisible();
  await dialog.getByRole('button', { name: 'Stop' }).click();
  await expect(dialog.getByRole('progressbar')).toHaveCount(0);
});

test(
  'a saved picture has a caption below the glass, in greys, unless it is left off',
  { tag: '@webgl2' },
  async ({ shown: page }) => {
    await page.getByRole('button', { name: /picture options/ }).click();
    await page.getByRole('button', { name: /^Save picture/ }).click();
    const dialog = page.getByRole('dialog', { name: 'Save the picture' });
    const width = dialog.getByLabel('Width', { exact: true });
    await width.fill('120');
    await width.press('Enter');
    await dialog.getByLabel('Colour space').selectOption('display_p3');
    const save = async (): Promise<Buffer> => {
      const downloading = page.waitForEvent('download');
      await dialog.getByRole('button', { name: 'Save as a file' }).click();
      return readFile(await (await downloading).path());
    };
    const captioned = await save();
    await dialog.getByLabel(/^Caption below the picture/).uncheck();
    const bare = await save();
    await dialog.getByLabel(/^Caption below the picture/).check();
    const added = captioned.readUInt32BE(20) - bare.readUInt32BE(20);
    expect(added).toBeGreaterThan(20);
    for (const file of [captioned, bare]) {
      const chunk = file.indexOf('cICP');
      expect([...file.subarray(chunk + 4, chunk + 8)]).toEqual([12, 13, 0, 1]);
    }
    const read = (file: Buffer): Promise<number[]> =>
      page.evaluate(async (base64) => {
        const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
        const bitmap = await createImageBitmap(new Blob([bytes], { type: 'image/png' }), {
          colorSpaceConversion: 'none',
        });
        const context = new OffscreenCanvas(bitmap.width, bitmap.height).getContext('2d');
        context?.drawImage(bitmap, 0, 0);
        return [...(context?.getImageData(0, 0, bitmap.width, bitmap.height).data ?? [])];
      }, file.toString('base64'));
    const [withCaption, without] = [Buffer.from(await read(captioned)), Buffer.from(await read(bare))];
    // The picture itself is the same to the byte, and what follows is text on the page's ground.
    expect(withCaption.subarray(0, without.length).equals(without)).toBe(true);
    const caption = withCaption.subarray(without.length);
    const greys = new Set<number>();
    let coloured = 0;
    for (let i = 0; i < caption.length; i += 4) {
      const [r, g, b] = caption.subarray(i, i + 3);
      if (r !== g || g !== b) coloured += 1;
      greys.add(g ?? 0);
    }
    expect(coloured, 'pixels that are not grey').toBe(0);
    expect([...caption.subarray(0, 3)]).toEqual([0x15, 0x15, 0x15]);
    expect(Math.max(...greys), 'letters').toBeGreaterThan(0x80);
  },
);

test('why a picture was not saved is forgotten with its dialog', { tag: '@webgl2' }, async ({ page }) => {
  await addToGlue(page, () => "SoftwarePicture.prototype.png = () => { throw new Error('no room'); };");
  await open(page);
  const dialog = page.getByRole('dialog', { name: 'Save the picture' });
  const show = async (): Promise<void> => {
    await page.getByRole('button', { name: /picture options/ }).click();
    await page.getByRole('button', { name: /^Save picture/ }).click();
    await expect(dialog).toBeVisible();
  };
  await show();
  await dialog.getByRole('button', { name: 'Save as a file' }).click();
  await expect(dialog.getByRole('alert')).toContainText('The picture was not saved.');
  await page.keyboard.press('Escape');
  await expect(dialog).toBeHidden();
  await show();
  await expect(dialog.getByRole('alert')).toHaveCount(0);
});
