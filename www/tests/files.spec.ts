// Scene files: saved, reopened, and refused with every fault if broken.
import { readFileSync } from 'node:fs';
import { expect } from '@playwright/test';
import { test } from './cleared';
import { choosePiece, demoText, figure, kept, open, valueOf } from './page';

test('a saved file reopens unchanged', async ({ page }) => {
  await open(page);
  await choosePiece(page);
  const before = await valueOf(page, 'total_lx');
  await page.getByLabel('Thickness', { exact: true }).fill('7');
  await page.keyboard.press('Enter');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(before);
  const changed = await valueOf(page, 'total_lx');
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+s');
  const path = await (await download).path();
  await expect(kept(page)).toContainText('saved to a file');

  await page.reload();
  await expect(page.getByText(/Opened as you left it/)).toBeVisible();
  await expect(kept(page)).toContainText('saved to a file');
  await page.getByRole('button', { name: 'Start again from the demo' }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).toBe(before);
  const text = readFileSync(path);
  await page
    .locator('input[type=file]')
    .setInputFiles({ name: 'kept.json', mimeType: 'application/json', buffer: text });
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(changed, 6);
});

test('a broken file is refused with every fault, and the scene stays', async ({ page }) => {
  await open(page);
  const before = await valueOf(page, 'total_lx');
  const name = await page.getByRole('heading', { level: 1 }).innerText();
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+s');
  const scene = JSON.parse(readFileSync(await (await download).path(), 'utf8'));
  scene.site.latitude_deg = 'north';
  scene.room.facing = 'west';
  const buffer = Buffer.from(JSON.stringify(scene));
  await page.locator('input[type=file]').setInputFiles({ name: 'broken.json', mimeType: 'application/json', buffer });
  const dialog = page.getByRole('dialog', { name: 'This file was not opened' });
  await expect(dialog).toContainText('site.latitude_deg');
  await expect(dialog).toContainText('room.facing');
  await expect(dialog).toContainText('Expected');
  await dialog.getByRole('button', { name: 'Close' }).click();
  await expect(dialog).toBeHidden();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(name);
  expect(await valueOf(page, 'total_lx')).toBe(before);
});

test('a dropped file that is not a scene is refused with a message', async ({ page }) => {
  await open(page);
  await page.evaluate(() => {
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File(['{ "half": '], 'half.json', { type: 'application/json' }));
    for (const type of ['dragover', 'drop']) {
      window.dispatchEvent(new DragEvent(type, { dataTransfer, bubbles: true, cancelable: true }));
    }
  });
  const dialog = page.getByRole('dialog', { name: 'This file was not opened' });
  await expect(dialog).toContainText('half.json');
  await page.keyboard.press('Escape');
  await expect(dialog).toBeHidden();
});

test('a file longer than any scene is refused before it is read', async ({ page }) => {
  await open(page);
  const before = await page.getByRole('heading', { level: 1 }).innerText();
  // A file reports its size; this one would fill the memory if it were read.
  await page.evaluate(() => {
    const file = new File(['{}'], 'endless.json', { type: 'application/json' });
    Object.defineProperty(file, 'size', { value: 2 ** 40 });
    Object.defineProperty(file, 'arrayBuffer', { value: () => Promise.reject(new Error('it was read')) });
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(file);
    Object.defineProperty(dataTransfer, 'files', { value: [file] });
    const drop = new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true });
    Object.defineProperty(drop, 'dataTransfer', { value: { types: ['Files'], files: [file] } });
    window.dispatchEvent(drop);
  });
  const dialog = page.getByRole('dialog', { name: 'This file was not opened' });
  await expect(dialog).toContainText('endless.json');
  await expect(dialog).toContainText('at most 67.1 MB');
  await page.keyboard.press('Escape');
  await expect(page.getByRole('heading', { level: 1 })).toHaveText(before);
});

test('a photograph is not opened, and what to do instead is said', async ({ page }) => {
  await open(page);
  const buffer = Buffer.from([0xff, 0xd8, 0xff, 0xe0, 0, 16, 0x4a, 0x46, 0x49, 0x46]);
  await page
    .locator('input[aria-label="Scene file"]')
    .setInputFiles({ name: 'wall.jpg', mimeType: 'image/jpeg', buffer });
  const dialog = page.getByRole('dialog', { name: 'This file was not opened' });
  await expect(dialog).toContainText('a picture (JPEG), which is not read yet: trace it in a drawing program');
});

test('if the browser can write files, saving again writes to the same file', async ({ page }) => {
  await open(page);
  await page.evaluate(() => {
    const written: string[] = [];
    let asked = 0;
    Object.assign(window, {
      written,
      showSaveFilePicker: async () => {
        asked += 1;
        if (asked > 1) throw new Error('asked twice');
        return {
          name: 'mine.json',
          createWritable: async () => ({
            write: async (text: string) => void written.push(text),
            close: async () => undefined,
          }),
        };
      },
    });
  });
  const count = (): Promise<number> => page.evaluate(() => (window as unknown as { written: string[] }).written.length);
  await page.keyboard.press('Control+s');
  await expect.poll(count).toBe(1);
  await expect(kept(page)).toContainText('saved to a file');
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  await page.keyboard.press('Control+s');
  await expect.poll(count).toBe(2);
  const [first, second] = await page.evaluate(() =>
    (window as unknown as { written: string[] }).written.map((text) => JSON.parse(text).at),
  );
  expect(first).not.toBe(second);
});

test('opening a file while changes are unsaved loses nothing', async ({ page }) => {
  await open(page);
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+s');
  const buffer = readFileSync(await (await download).path());
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  const date = page.getByLabel('Date', { exact: true });
  const changed = await date.inputValue();
  await page.locator('input[type=file]').setInputFiles({ name: 'other.json', mimeType: 'application/json', buffer });
  await expect(date).not.toHaveValue(changed);
  await page
    .locator('.line')
    .getByRole('button', { name: /^Back to/ })
    .click();
  await expect(date).toHaveValue(changed);
  await page.getByRole('button', { name: /^Undo: date/ }).click();
  await expect(date).not.toHaveValue(changed);
});

test('a page whose first demo cannot be fetched opens a file', async ({ page }) => {
  const text = await demoText('small-rose');
  await page.route(/estuary-lancet[^/]*\.json/, (route) => route.abort());
  await page.goto('./');
  await expect(page.getByText(/The demo could not be fetched .*check the network, then reload/)).toBeVisible();
  await page
    .locator('input[aria-label="Scene file to begin with"]')
    .setInputFiles({ name: 'rose.json', mimeType: 'application/json', buffer: Buffer.from(text) });
  await expect(figure(page, 'total_lx')).toBeVisible({ timeout: 60_000 });
});

test('the menu of files has what one looks for there, with its keys', async ({ page }) => {
  // Asked for early, because the browser may take a moment to hand over its dialogs.
  const chooser = page.waitForEvent('filechooser');
  await open(page);
  const menu = page.getByRole('button', { name: 'File', exact: true });
  await page.keyboard.press('Control+o');
  await chooser;
  await menu.click();
  const item = (name: string | RegExp) => page.getByRole('button', { name, exact: true });
  for (const [name, keys] of [
    ['Open …', 'Ctrl O'],
    ['Save …', 'Ctrl S'],
    ['Save as …', 'Ctrl Shift S'],
    ['Print …', 'Ctrl P'],
  ] as const) {
    await expect(item(name)).toBeEnabled();
    await expect(item(name)).toContainText(keys);
  }
  await item('Save picture …').click();
  await expect(page.getByRole('dialog', { name: 'Save the picture' })).toBeVisible();
  await page.keyboard.press('Escape');
  // Without the browser's own dialog, each is a download.
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+Shift+s');
  expect((await download).suggestedFilename()).toMatch(/\.json$/);
  // Printing is the browser's.
  await page.evaluate(() => (window.print = () => (document.documentElement.dataset['printed'] = 'yes')));
  await page.keyboard.press('Control+p');
  await expect(page.locator('html')).toHaveAttribute('data-printed', 'yes');
});

test('“Save as” asks for a file even when there is one, and “Save” then writes to the new one', async ({ page }) => {
  await open(page);
  await page.evaluate(() => {
    const written: string[] = [];
    let asked = 0;
    Object.assign(window, {
      written,
      showSaveFilePicker: async () => {
        asked += 1;
        const name = `file-${asked}.json`;
        return {
          name,
          createWritable: async () => ({ write: async () => void written.push(name), close: async () => undefined }),
        };
      },
    });
  });
  const written = (): Promise<string[]> => page.evaluate(() => (window as unknown as { written: string[] }).written);
  await page.keyboard.press('Control+s');
  await expect.poll(written).toEqual(['file-1.json']);
  await page.keyboard.press('Control+Shift+s');
  await expect.poll(written).toEqual(['file-1.json', 'file-2.json']);
  await page.getByRole('button', { name: 'File', exact: true }).click();
  await page.getByRole('button', { name: 'Save to file-2.json' }).click();
  await expect.poll(written).toEqual(['file-1.json', 'file-2.json', 'file-2.json']);
});

test('a file that comes before the page has started is not lost without a word', async ({ page }) => {
  await page.route(/\.wasm$/, () => undefined);
  await page.goto('./');
  await expect(page.locator('main')).toBeVisible();
  await page.evaluate(() => {
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File(['{}'], 'early.json', { type: 'application/json' }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
  });
  const dialog = page.getByRole('dialog', { name: 'This file was not opened' });
  await expect(dialog).toContainText('The page has not started yet.');
  await page.unrouteAll({ behavior: 'ignoreErrors' });
});
