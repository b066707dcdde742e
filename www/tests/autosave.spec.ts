// Autosave in the browser: a killed tab, a damaged record, a second tab.
import { readFile } from 'node:fs/promises';
import { expect, type Page } from '@playwright/test';
import { test } from './cleared';
import { sumOf } from '../src/engine/scene-store';
import { choosePiece, figure, kept, minuteShown, open, openDemo, ribbon, settled, valueOf } from './page';

/** Kills the page's process at once. */
async function kill(page: Page): Promise<void> {
  const session = await page.context().newCDPSession(page);
  const gone = page.waitForEvent('crash');
  // Never answered, since the process is gone.
  session.send('Page.crash').catch(() => undefined);
  await gone;
  await page.close();
}

/** Another tab of the same browser, once it has figures. */
async function another(page: Page): Promise<Page> {
  const next = await page.context().newPage();
  await open(next);
  return next;
}

test('a tab killed in the middle of an edit comes back with everything before it, and its history', async ({
  page,
}) => {
  await open(page);
  const first = await valueOf(page, 'total_lx');
  await choosePiece(page);
  await page.getByLabel('Thickness', { exact: true }).fill('7');
  await page.keyboard.press('Enter');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(first);
  const thick = await valueOf(page, 'total_lx');
  await page.getByRole('button', { name: 'Next day' }).click();
  await settled(page);
  await expect(kept(page)).toContainText('kept in this browser');
  const date = await page.getByLabel('Date', { exact: true }).inputValue();
  await page.keyboard.press('Control+z');
  await expect.poll(() => valueOf(page, 'total_lx')).toBe(thick);
  await page.keyboard.press('Control+Shift+z');
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(date);
  await expect(kept(page)).toBeVisible();
  // In the middle of a drag along the day: shown, not yet applied.
  const box = await ribbon(page).boundingBox();
  if (box === null) throw new Error('no ribbon');
  await page.mouse.move(box.x + box.width * 0.3, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.6, box.y + box.height / 2, { steps: 4 });
  await kill(page);

  const next = await another(page);
  await expect(next.getByText(/Opened as you left it/)).toBeVisible();
  await expect(kept(next)).toContainText('kept in this browser');
  await expect(next.getByLabel('Date', { exact: true })).toHaveValue(date);
  await expect(next.getByRole('button', { name: 'Undo: date' })).toBeEnabled();
  await next.getByRole('button', { name: 'Undo: date' }).click();
  await expect.poll(() => valueOf(next, 'total_lx')).toBeCloseTo(thick, 6);
  await next.getByRole('button', { name: /^Undo: thickness of piece \d+$/ }).click();
  await expect.poll(() => valueOf(next, 'total_lx')).toBeCloseTo(first, 6);
  await expect(next.getByRole('button', { name: 'Undo', exact: true })).toBeDisabled();
  await next.getByRole('button', { name: /^Redo: thickness/ }).click();
  await expect.poll(() => valueOf(next, 'total_lx')).toBeCloseTo(thick, 6);
});

test('many actions are kept, and starting again from the demo loses none of them', async ({ page }) => {
  // A hundred and twenty pictures, each drawn by the processor.
  test.slow();
  await open(page);
  const start = await page.getByLabel('Date', { exact: true }).inputValue();
  // More than are kept one by one before the complete document is written again.
  for (let i = 0; i < 60; i += 1) await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  const date = await page.getByLabel('Date', { exact: true }).inputValue();
  await page.waitForTimeout(300);
  await page.reload();
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(date);
  await page.getByRole('button', { name: 'Start again from the demo' }).click();
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(start);
  await page.getByRole('button', { name: 'File', exact: true }).click();
  await page.locator('.kept button').first().click();
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(date);
  for (let i = 0; i < 60; i += 1) await page.keyboard.press('Control+z');
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(start);
  await expect(page.getByRole('button', { name: 'Undo', exact: true })).toBeDisabled();
});

test('a damaged record is set aside unchanged, and the demo opens', async ({ page }) => {
  await open(page);
  const start = await minuteShown(page);
  await ribbon(page).focus();
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('Tab');
  await expect(kept(page)).toContainText('kept in this browser');
  await page.evaluate(
    () =>
      new Promise<void>((resolve, reject) => {
        const request = indexedDB.open('clerestory');
        request.onerror = () => reject(request.error);
        request.onsuccess = () => {
          const transaction = request.result.transaction('bodies', 'readwrite');
          const bodies = transaction.objectStore('bodies');
          const all = bodies.getAll();
          all.onsuccess = () => {
            for (const body of all.result) bodies.put({ ...body, kept: body.kept.replace('60', '61') });
          };
          transaction.oncomplete = () => resolve();
        };
      }),
  );
  await page.reload();
  await expect(figure(page, 'total_lx')).toBeVisible();
  await expect(page.getByText(/is damaged .* set aside/)).toBeVisible();
  expect(await minuteShown(page)).toBe(start);
  await expect(page.getByRole('button', { name: 'Undo', exact: true })).toBeDisabled();
  const download = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Download the damaged scene' }).click();
  expect((await download).suggestedFilename()).toContain('damaged');
  // It can still be downloaded, and new work is kept beside it.
  await ribbon(page).focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Tab');
  await expect(kept(page)).toContainText('kept in this browser');
  await page.getByRole('button', { name: 'File', exact: true }).click();
  await expect(page.getByRole('button', { name: /Download a damaged scene/ })).toBeVisible();
});

test('a second tab of the same scene says so and does not write over the first', async ({ page }) => {
  await open(page);
  const start = await minuteShown(page);
  await ribbon(page).focus();
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('Tab');
  await expect(kept(page)).toContainText('kept in this browser');
  const second = await another(page);
  await expect(second.getByText(/open in another tab, which keeps it/)).toBeVisible();
  expect(await minuteShown(second)).toBe(start - 15);
  await ribbon(second).focus();
  await second.keyboard.press('ArrowLeft');
  await second.keyboard.press('ArrowLeft');
  await second.keyboard.press('Tab');
  await expect(kept(second)).toContainText('not kept: open in another tab');
  await second.close();
  await page.reload();
  await expect(page.getByText(/Opened as you left it/)).toBeVisible();
  expect(await minuteShown(page)).toBe(start - 15);
});

test('a new scene is kept although its lock is slow to come', async ({ page }) => {
  const slowed = await page.addInitScript(() => {
    const request = navigator.locks.request.bind(navigator.locks) as (...args: unknown[]) => Promise<unknown>;
    const slow = async (...args: unknown[]): Promise<unknown> => {
      await new Promise((resolve) => setTimeout(resolve, 2000));
      return request(...args);
    };
    Object.assign(navigator.locks, { request: slow });
  });
  await open(page);
  await page.waitForTimeout(2300);
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  await slowed.dispose();
});

test('a second tab can continue with a separate copy', async ({ page }) => {
  await open(page);
  const start = await minuteShown(page);
  await ribbon(page).focus();
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('Tab');
  await expect(kept(page)).toContainText('kept in this browser');
  const second = await another(page);
  await second.getByRole('button', { name: 'Keep a separate copy' }).click();
  await ribbon(second).focus();
  await second.keyboard.press('ArrowLeft');
  await second.keyboard.press('Tab');
  await expect(kept(second)).toContainText('kept in this browser');
  await second.reload();
  await expect(figure(second, 'total_lx')).toBeVisible();
  expect(await minuteShown(second)).toBe(start - 30);
});

test('without a store in the browser the page works and says that nothing is kept', async ({ page }) => {
  const without = await page.addInitScript(() => {
    Object.defineProperty(window, 'indexedDB', { value: undefined });
  });
  await open(page);
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('not kept: this browser does not store anything');
  await without.dispose();
});

test('a full store is reported, and later changes are kept once there is room again', async ({ page }) => {
  await open(page);
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  await page.evaluate(() => {
    const whole = IDBObjectStore.prototype.add;
    Object.assign(window, { room: () => void (IDBObjectStore.prototype.add = whole) });
    IDBObjectStore.prototype.add = () => {
      throw new DOMException('full', 'QuotaExceededError');
    };
  });
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('storage is full');
  await page.evaluate(() => (window as unknown as { room: () => void }).room());
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  const date = await page.getByLabel('Date', { exact: true }).inputValue();
  await page.waitForTimeout(200);
  await page.reload();
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(date);
});

test('a scene that could not be kept when another was opened is reopened from the page and then kept', async ({
  page,
}) => {
  await open(page);
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  await page.evaluate(() => {
    const { add, put } = IDBObjectStore.prototype;
    Object.assign(window, { room: () => void Object.assign(IDBObjectStore.prototype, { add, put }) });
    const full = (): never => {
      throw new DOMException('full', 'QuotaExceededError');
    };
    Object.assign(IDBObjectStore.prototype, { add: full, put: full });
  });
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('storage is full');
  const date = await page.getByLabel('Date', { exact: true }).inputValue();
  await openDemo(page, 'small-rose');
  await expect(page.getByText(/could not be kept .*: it exists only on this page/)).toBeVisible();
  await page.evaluate(() => (window as unknown as { room: () => void }).room());
  await page.getByRole('button', { name: /^Back to “/ }).click();
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(date);
  await expect(kept(page)).toContainText('kept in this browser');
  await page.reload();
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(date);
});

test('a record of a newer version is left alone', async ({ page }) => {
  await open(page);
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  const heads = (write: boolean): Promise<string> =>
    page.evaluate(
      (change) =>
        new Promise<string>((resolve, reject) => {
          const request = indexedDB.open('clerestory');
          request.onerror = () => reject(request.error);
          request.onsuccess = () => {
            const transaction = request.result.transaction('heads', 'readwrite');
            const store = transaction.objectStore('heads');
            const all = store.getAll();
            let found = '';
            all.onsuccess = () => {
              for (const head of all.result) if (change) store.put({ ...head, form: 99, changedAt: Date.now() + 1e6 });
              found = JSON.stringify(all.result.filter((head) => head.form === 99));
            };
            transaction.oncomplete = () => resolve(found);
          };
        }),
      write,
    );
  await heads(true);
  const before = await heads(false);
  await page.reload();
  await expect(page.getByText(/a newer version of this page/)).toBeVisible();
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  expect(await heads(false)).toBe(before);
});

test('a record of the first version opens with its history and continues', async ({ page }) => {
  const file = new URL('../../crate/scene/tests/frozen/v1/two-pieces-journal.json', import.meta.url);
  const journal = JSON.parse(await readFile(file, 'utf8')) as { kept: string; actions: string[] };
  const seq = journal.actions.length;
  const record = {
    head: {
      id: 'first',
      form: 1,
      writer: 'first page',
      name: 'A frozen window',
      origin: { kind: 'file', name: 'two-pieces.json' },
      edited: true,
      seq,
      changedAt: Date.now() + 1e6,
      filedAt: null,
      filedSeq: null,
    },
    body: { id: 'first', seq: 0, kept: journal.kept, sum: sumOf(journal.kept) },
    actions: journal.actions.map((action, i) => ({ id: 'first', seq: i + 1, action, sum: sumOf(action) })),
  };
  await open(page);
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  await page.evaluate(
    ({ head, body, actions }) =>
      new Promise<void>((resolve, reject) => {
        sessionStorage.clear();
        const request = indexedDB.open('clerestory');
        request.onerror = () => reject(request.error);
        request.onsuccess = () => {
          const transaction = request.result.transaction(['heads', 'bodies', 'actions'], 'readwrite');
          transaction.objectStore('heads').clear();
          transaction.objectStore('heads').put(head);
          transaction.objectStore('bodies').put(body);
          for (const action of actions) transaction.objectStore('actions').put(action);
          transaction.oncomplete = () => resolve();
        };
      }),
    record,
  );
  await page.reload();
  await expect(page).toHaveTitle(/A frozen window/);
  // Undo what the first version did, then continue with this one.
  const undo = page.getByRole('button', { name: /^Undo/ });
  await undo.click();
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  const date = await page.getByLabel('Date', { exact: true }).inputValue();
  await page.reload();
  await expect(page.getByLabel('Date', { exact: true })).toHaveValue(date);
  await expect(undo).toBeEnabled();
});

test('the first visit shows a hint once', async ({ page }) => {
  await open(page);
  const note = page.getByRole('note');
  await expect(note).toContainText('Touch a piece');
  await choosePiece(page);
  await expect(note).toHaveCount(0);
  await page.reload();
  await expect(figure(page, 'total_lx')).toBeVisible();
  await expect(note).toHaveCount(0);
});

test('single-key shortcuts can be switched off', async ({ page }) => {
  await open(page);
  await page.keyboard.press('?');
  const dialog = page.getByRole('dialog', { name: 'Keys' });
  await dialog.getByRole('checkbox', { name: /^Single-key shortcuts/ }).uncheck();
  await page.keyboard.press('Escape');
  await expect(dialog).toBeHidden();
  await page.keyboard.press('?');
  await expect(dialog).toBeHidden();
  await page.reload();
  await expect(figure(page, 'total_lx')).toBeVisible();
  await page.keyboard.press('?');
  await expect(dialog).toBeHidden();
});
