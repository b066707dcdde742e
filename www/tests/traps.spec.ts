// An instance of the module that traps is unusable: the page builds another from its journal. The tests cause traps
// with a line added to the glue as it is served.
import { expect, test } from '@playwright/test';
import { addToGlue, kept, minuteShown, open, openDemo, ribbon, settled, valueOf } from './page';

const trapOnce = (method: string): string => `{
  const whole = ${method};
  let calls = 0;
  ${method} = function (...given) {
    calls += 1;
    if (import.meta.url.endsWith('#1') && calls === 1) throw new WebAssembly.RuntimeError('unreachable');
    return whole.apply(this, given);
  };
}`;

test('a trap on the page loses only the action in progress', async ({ page }) => {
  await addToGlue(page, () => trapOnce('SceneDocument.prototype.piece_at'));
  await open(page);
  const start = await minuteShown(page);
  await ribbon(page).focus();
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('Tab');
  await expect(page.getByRole('button', { name: 'Undo' })).toBeEnabled();
  const box = await page.locator('.area').boundingBox();
  if (box === null) throw new Error('the window has no box');
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  await expect(page.getByText(/restarted from your scene/)).toBeVisible();
  await settled(page);
  expect(await minuteShown(page)).toBe(start - 15);
  // The history is restored with the document.
  await page.keyboard.press('Control+z');
  expect(await minuteShown(page)).toBe(start);
  await expect(page.getByRole('button', { name: 'Redo' })).toBeEnabled();
});

test('a trap while another scene is first shown leaves that scene open and kept', async ({ page }) => {
  await addToGlue(
    page,
    () => `{
  const whole = SceneDocument.prototype.overview;
  SceneDocument.prototype.overview = function () {
    if (globalThis.trapNext === true) {
      globalThis.trapNext = false;
      throw new WebAssembly.RuntimeError('unreachable');
    }
    return whole.call(this);
  };
}`,
  );
  await open(page);
  await page.evaluate(() => Object.assign(globalThis, { trapNext: true }));
  await openDemo(page, 'small-rose');
  await expect(page.getByText(/restarted from your scene/)).toBeVisible();
  await expect(page).toHaveTitle(/rose/i);
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(kept(page)).toContainText('kept in this browser');
  await page.reload();
  await expect(page).toHaveTitle(/rose/i);
  await expect(page.getByRole('button', { name: 'Undo: date' })).toBeEnabled();
});

test('a trap in the worker starts another that matches the page', async ({ page }) => {
  // A restarted worker gets the glue unchanged.
  let workers = 0;
  await addToGlue(page, (_, by) => {
    if (!by.includes('figures')) return '';
    workers += 1;
    return workers === 1 ? trapOnce('Figures.prototype.apply') : '';
  });
  await open(page);
  const before = await valueOf(page, 'total_lx');
  await page.getByRole('button', { name: 'Next day' }).click();
  await expect(page.getByText(/restarted from your scene/)).toBeVisible();
  await settled(page);
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(before);
});

test('figures that stopped for one place work for another', async ({ page }) => {
  await addToGlue(
    page,
    () => `{
  const whole = Figures.prototype.report;
  Figures.prototype.report = function (at, place) {
    if (place === 'door') throw new WebAssembly.RuntimeError('unreachable');
    return whole.call(this, at, place);
  };
}`,
  );
  await open(page);
  const before = await valueOf(page, 'total_lx');
  const place = page.getByLabel('Viewing position', { exact: true });
  await place.selectOption('door');
  await expect(page.getByText(/stopped twice/)).toBeVisible();
  await place.selectOption('desk below the window');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(before);
});
