// Files attached to a scene: kept, saved, opened again, and never in the way of anything else.
import { readFileSync } from 'node:fs';
import { expect, type Page } from '@playwright/test';
import { test } from './cleared';
import { kept, open, openDemo, valueOf } from './page';

const JPEG = Buffer.concat([Buffer.from([0xff, 0xd8, 0xff, 0xe0]), Buffer.from('no picture, but it begins as one')]);
const SPECTRUM = Buffer.from('380,0.91\n385,0.92\n');

const dialog = (page: Page) => page.getByRole('dialog', { name: 'Attachments' });
const rows = (page: Page) => dialog(page).getByRole('listitem');

async function openDialog(page: Page): Promise<void> {
  await page.getByRole('button', { name: 'File', exact: true }).click();
  await page.getByRole('button', { name: /^Attachments/ }).click();
  await expect(dialog(page)).toBeVisible();
}

async function attach(page: Page, files: { name: string; mimeType: string; buffer: Buffer }[]): Promise<void> {
  await page.locator('input[aria-label="Files to attach"]').setInputFiles(files);
  for (const { name } of files) await expect(dialog(page).getByText(name, { exact: true })).toBeVisible();
}

const photograph = { name: 'north-wall.jpg', mimeType: 'image/jpeg', buffer: JPEG };
const spectrum = { name: 'old blue.csv', mimeType: 'text/csv', buffer: SPECTRUM };

async function saved(page: Page): Promise<{ name: string; bytes: Buffer }> {
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+s');
  const file = await download;
  return { name: file.suggestedFilename(), bytes: readFileSync(await file.path()) };
}

async function downloaded(page: Page, name: string): Promise<Buffer> {
  const download = page.waitForEvent('download');
  await dialog(page)
    .getByRole('button', { name: `Download ${name}` })
    .click();
  const file = await download;
  expect(file.suggestedFilename()).toBe(name);
  return readFileSync(await file.path());
}

/** Runs in the page on the browser's store. */
async function contentsKept(page: Page, change: 'look' | 'clear' | 'age' = 'look'): Promise<string[]> {
  return page.evaluate(
    (what) =>
      new Promise<string[]>((resolve, reject) => {
        const request = indexedDB.open('clerestory');
        request.onerror = () => reject(request.error);
        request.onsuccess = () => {
          const database = request.result;
          const transaction = database.transaction('attachments', 'readwrite');
          const store = transaction.objectStore('attachments');
          const all = store.getAll();
          all.onsuccess = () => {
            if (what === 'clear') store.clear();
            if (what === 'age') for (const one of all.result) store.put({ ...one, at: 0 });
          };
          transaction.oncomplete = () => {
            database.close();
            resolve(all.result.map((one: { hash: string }) => one.hash));
          };
        };
      }),
    change,
  );
}

test('what is attached is kept, undone, saved as a ZIP and opened again', async ({ page }) => {
  const fetched: string[] = [];
  page.on('request', (request) => fetched.push(request.url()));
  await open(page);
  const before = await valueOf(page, 'total_lx');
  expect(fetched.filter((url) => /archive/.test(url))).toEqual([]);
  expect((await saved(page)).name).toMatch(/\.json$/);

  await openDialog(page);
  await attach(page, [photograph]);
  await attach(page, [spectrum]);
  expect(fetched.some((url) => /archive_bg[^/]*\.wasm/.test(url))).toBe(true);
  await dialog(page).getByLabel('Note on north-wall.jpg').fill('from the yard');
  await page.keyboard.press('Enter');
  await dialog(page).getByRole('button', { name: 'Remove old blue.csv' }).click();
  await expect(rows(page)).toHaveCount(1);
  await page.keyboard.press('Escape');
  await expect(page.getByRole('button', { name: 'Undo: remove measured spectrum “old blue.csv”' })).toBeEnabled();
  await expect(kept(page)).toContainText('kept in this browser');

  await page.reload();
  await expect(page.getByText(/Opened as you left it/)).toBeVisible();
  await page.getByRole('button', { name: 'Undo: remove measured spectrum “old blue.csv”' }).click();
  await openDialog(page);
  await expect(rows(page)).toHaveCount(2);
  await expect(dialog(page).getByLabel('Note on north-wall.jpg')).toHaveValue('from the yard');
  expect(await downloaded(page, 'north-wall.jpg')).toEqual(JPEG);
  expect(await downloaded(page, 'old blue.csv')).toEqual(SPECTRUM);
  await page.keyboard.press('Escape');
  const file = await saved(page);
  expect(file.name).toMatch(/\.zip$/);
  expect(file.bytes.subarray(0, 4)).toEqual(Buffer.from('PK\x03\x04', 'latin1'));
  await expect(kept(page)).toContainText('saved to a file');

  await openDemo(page, 'small-rose');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(before);
  // The form is told by the content, not by the name.
  await page
    .locator('input[aria-label="Scene file"]')
    .setInputFiles({ name: 'window.json', mimeType: 'application/json', buffer: file.bytes });
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(before, 6);
  await openDialog(page);
  await expect(rows(page)).toHaveCount(2);
  expect(await downloaded(page, 'north-wall.jpg')).toEqual(JPEG);
  await page.keyboard.press('Escape');
  // The same scene makes the same file.
  expect((await saved(page)).bytes.equals(file.bytes)).toBe(true);
});

test('attaching works out neither figures nor picture again', async ({ page }) => {
  await open(page);
  await expect(page.getByText('Working out the day')).toHaveCount(0, { timeout: 60_000 });
  await page.evaluate(() => {
    const asked: string[] = [];
    Object.assign(window, { asked });
    const post = Worker.prototype.postMessage;
    Worker.prototype.postMessage = function (message: { name?: string }, ...rest: unknown[]) {
      if (message.name !== undefined) asked.push(message.name);
      return (post as (...all: unknown[]) => void).call(this, message, ...rest);
    };
  });
  await openDialog(page);
  await attach(page, [photograph]);
  await page.keyboard.press('Escape');
  await page.keyboard.press('Control+z');
  await expect(page.getByRole('button', { name: 'Redo: attach photograph “north-wall.jpg”' })).toBeEnabled();
  await page.waitForTimeout(500);
  expect(await page.evaluate(() => (window as unknown as { asked: string[] }).asked)).toEqual(['attach']);
  // The copies of the scene go on from there.
  const before = await valueOf(page, 'total_lx');
  await page.keyboard.press('Control+Shift+z');
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(before);
});

test('a damaged ZIP and a scene without its attachments are refused, and the scene stays', async ({ page }) => {
  await open(page);
  await openDialog(page);
  await attach(page, [photograph]);
  await page.keyboard.press('Escape');
  const { bytes } = await saved(page);
  const name = await page.getByRole('heading', { level: 1 }).innerText();
  const refused = page.getByRole('dialog', { name: 'This file was not opened' });
  const damaged = Buffer.from(bytes);
  const at = damaged.indexOf('no picture');
  damaged.writeUInt8(damaged.readUInt8(at) ^ 1, at);
  for (const [buffer, words] of [
    [damaged, 'attachments/'],
    [bytes.subarray(0, 200), 'get the file again'],
  ] as const) {
    await page
      .locator('input[aria-label="Scene file"]')
      .setInputFiles({ name: 'window.zip', mimeType: 'application/zip', buffer });
    await expect(refused).toContainText(words);
    await refused.getByRole('button', { name: 'Close' }).click();
    await expect(page.getByRole('heading', { level: 1 })).toHaveText(name);
  }
});

test('what is missing is named, and comes back with the file', async ({ page }) => {
  await open(page);
  await openDialog(page);
  await attach(page, [photograph]);
  await page.keyboard.press('Escape');
  await expect(kept(page)).toContainText('kept in this browser');
  expect(await contentsKept(page, 'clear')).toHaveLength(1);
  await page.reload();
  await expect(page.getByText(/The content of “north-wall.jpg” is missing from this browser/)).toBeVisible();
  await page.keyboard.press('Control+s');
  const refused = page.getByRole('dialog', { name: 'The scene was not saved' });
  await expect(refused).toContainText('north-wall.jpg');
  await refused.getByRole('button', { name: 'Close' }).click();
  await openDialog(page);
  await expect(dialog(page).getByText(/Add the same file again/)).toBeVisible();
  await attach(page, [photograph]);
  await expect(dialog(page).getByText(/Add the same file again/)).toHaveCount(0);
  await expect(rows(page)).toHaveCount(1);
  await page.keyboard.press('Escape');
  expect((await saved(page)).name).toMatch(/\.zip$/);
});

test('a file that cannot be attached is named, the others are attached', async ({ page }) => {
  await open(page);
  await openDialog(page);
  await page
    .locator('input[aria-label="Files to attach"]')
    .setInputFiles([{ name: 'empty.csv', mimeType: 'text/csv', buffer: Buffer.alloc(0) }, photograph]);
  await expect(rows(page)).toHaveCount(1);
  await expect(dialog(page).getByRole('alert')).toContainText('“empty.csv” was not attached');
});

test('what no scene refers to is deleted at rest, what history refers to stays', async ({ page }) => {
  await open(page);
  await openDialog(page);
  await attach(page, [photograph]);
  await dialog(page).getByRole('button', { name: 'Remove north-wall.jpg' }).click();
  await page.keyboard.press('Escape');
  await expect(kept(page)).toContainText('kept in this browser');
  await page.waitForTimeout(500);
  expect(await contentsKept(page, 'age')).toHaveLength(1);
  await page.reload();
  await expect(page.getByText(/Opened as you left it/)).toBeVisible();
  // Longer than the page waits for its rest.
  await page.waitForTimeout(7000);
  expect(await contentsKept(page)).toHaveLength(1);
  await openDemo(page, 'small-rose');
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  await page.getByRole('button', { name: 'File', exact: true }).click();
  await page
    .locator('.kept')
    .getByRole('button', { name: /^Remove/ })
    .first()
    .click();
  await page.waitForTimeout(500);
  await page.reload();
  await expect.poll(() => contentsKept(page), { timeout: 30_000 }).toEqual([]);
});

test('scenes that were kept before there were attachments stay', async ({ page }) => {
  await open(page);
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  const date = await page.getByLabel('Date', { exact: true }).inputValue();
  await page.waitForTimeout(500);
  // The same records in the first version of the database. From a page of the same address that has none open.
  await page.goto('./third-party.txt');
  await page.evaluate(
    () =>
      new Promise<void>((resolve, reject) => {
        const stores = { heads: 'id', bodies: 'id', actions: ['id', 'seq'], views: 'id', aside: 'id' };
        const names = Object.keys(stores);
        const now = indexedDB.open('clerestory');
        now.onerror = () => reject(now.error);
        now.onsuccess = () => {
          const found: Record<string, unknown[]> = {};
          const reading = now.result.transaction(names);
          for (const name of names) {
            const all = reading.objectStore(name).getAll();
            all.onsuccess = () => (found[name] = all.result);
          }
          reading.oncomplete = () => {
            now.result.close();
            indexedDB.deleteDatabase('clerestory').onsuccess = () => {
              const first = indexedDB.open('clerestory', 1);
              first.onupgradeneeded = () => {
                for (const [name, keyPath] of Object.entries(stores)) {
                  const store = first.result.createObjectStore(name, { keyPath });
                  for (const record of found[name] ?? []) store.put(record);
                }
              };
              first.onsuccess = () => {
                first.result.close();
                resolve();
              };
            };
          };
        };
      }),
  );
  await page.goto('./');
  await expect(page.getByText(/Opened as you left it/)).toBeVisible();
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(date);
  await openDialog(page);
  await attach(page, [photograph]);
  expect(await contentsKept(page)).toHaveLength(1);
});

test('a scene whose attachments cannot be read is refused before the browser asks where to save', async ({ page }) => {
  await open(page);
  await openDialog(page);
  await attach(page, [photograph]);
  await page.keyboard.press('Escape');
  await expect(kept(page)).toContainText('kept in this browser');
  await page.evaluate(() => {
    const get = IDBObjectStore.prototype.get;
    Object.assign(window, {
      asked: 0,
      mend: () => void (IDBObjectStore.prototype.get = get),
      showSaveFilePicker: async () => {
        Object.assign(window, { asked: 1 });
        throw new DOMException('no gesture', 'SecurityError');
      },
    });
    IDBObjectStore.prototype.get = function (key) {
      if (this.name === 'attachments') throw new DOMException('the disk failed', 'UnknownError');
      return get.call(this, key);
    };
  });
  await page.keyboard.press('Control+s');
  const refused = page.getByRole('dialog', { name: 'The scene was not saved' });
  await expect(refused).toContainText('could not be read (the disk failed)');
  await expect(refused).not.toContainText('remove');
  const asked = (): Promise<number> => page.evaluate(() => (window as unknown as { asked: number }).asked);
  expect(await asked()).toBe(0);
  await refused.getByRole('button', { name: 'Close' }).click();
  await page.evaluate(() => (window as unknown as { mend: () => void }).mend());
  // The browser lets the page ask only after a click.
  await page.keyboard.press('Control+s');
  await expect(page.getByRole('button', { name: 'Save now' })).toBeVisible();
  expect(await asked()).toBe(1);
});

test('attachments that do not fit are reported, and kept once there is room', async ({ page }) => {
  await open(page);
  await page.evaluate(() => {
    const { put } = IDBObjectStore.prototype;
    Object.assign(window, { room: () => void (IDBObjectStore.prototype.put = put) });
    IDBObjectStore.prototype.put = function (value, key) {
      if (this.name === 'attachments') throw new DOMException('full', 'QuotaExceededError');
      return put.call(this, value, key);
    };
  });
  await openDialog(page);
  await attach(page, [photograph]);
  await page.keyboard.press('Escape');
  await expect(kept(page)).toContainText('not kept: attachments (this browser’s storage is full)');
  expect(await contentsKept(page)).toEqual([]);
  await page.evaluate(() => (window as unknown as { room: () => void }).room());
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  expect(await contentsKept(page)).toHaveLength(1);
});
