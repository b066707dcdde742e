// The year under the day: dragging, stepping and stopping; incomplete days and years are marked.
import { expect, type Page } from '@playwright/test';
import { dayIsReady, settled, valueOf } from './page';
import { test } from './shown';

const strip = (page: Page) => page.getByRole('slider', { name: 'Date in the year' });
const dateShown = async (page: Page): Promise<string> =>
  ((await page.locator('[data-at]').getAttribute('data-at')) ?? '').slice(0, 10);
const undo = (page: Page) => page.getByRole('button', { name: /^Undo/ });

async function unfold(page: Page): Promise<void> {
  await page.locator('.unfold').click();
  await expect(page.locator('.field rect').first()).toBeAttached({ timeout: 60_000 });
  await expect(page.locator('progress')).toHaveCount(0, { timeout: 60_000 });
}

test('dragging the date in the year changes day and figures, as one edit', async ({ shown: page }) => {
  await dayIsReady(page);
  await unfold(page);
  const before = { date: await dateShown(page), lux: await valueOf(page, 'total_lx') };
  const box = await strip(page).boundingBox();
  if (box === null) throw new Error('no strip');
  const y = box.y + box.height / 2;
  await page.mouse.move(box.x + box.width * 0.2, y);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.4, y, { steps: 4 });
  await page.mouse.move(box.x + box.width * ((172 - 0.5) / 365), y, { steps: 4 });
  // 21 June is day 172 of an ordinary year.
  await expect.poll(() => dateShown(page)).toMatch(/-06-21$/);
  await expect(undo(page)).toBeDisabled();
  await page.mouse.up();
  await settled(page);
  expect(await valueOf(page, 'total_lx')).not.toBe(before.lux);
  await expect(page.getByText(/sunrise 0\d:/)).toBeVisible();
  await undo(page).click();
  expect(await dateShown(page)).toBe(before.date);
  await expect(undo(page)).toBeDisabled();
});

test('keys step days, weeks and months', async ({ shown: page }) => {
  const start = await dateShown(page);
  const after = (days: number): string => new Date(Date.parse(start) + days * 86_400_000).toISOString().slice(0, 10);
  await strip(page).focus();
  await page.keyboard.press('ArrowRight');
  expect(await dateShown(page)).toBe(after(1));
  await page.keyboard.press('Shift+ArrowRight');
  expect(await dateShown(page)).toBe(after(8));
  await page.keyboard.press('PageDown');
  expect(Number((await dateShown(page)).slice(5, 7)) % 12).toBe((Number(after(8).slice(5, 7)) + 11) % 12);
  await page.keyboard.press('Home');
  expect(await dateShown(page)).toMatch(/-01-01$/);
  await expect(strip(page)).toHaveAttribute('aria-valuenow', '1');
  await expect(strip(page)).toHaveAttribute('aria-valuetext', /1 January/);
  await settled(page);
  await page.keyboard.press('Tab');
  await undo(page).click();
  expect(await dateShown(page)).toBe(start);
});

test('the year is computed on request, kept, and marked when the light has changed', async ({ shown: page }) => {
  await dayIsReady(page);
  await expect(page.locator('.field')).toHaveCount(0);
  await unfold(page);
  const rects = page.locator('.field rect');
  const count = await rects.count();
  expect(count).toBeGreaterThan(100);
  await expect(page.locator('.field rect.old')).toHaveCount(0);
  // Another hour of the same year: the year stays.
  await strip(page).focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Tab');
  await expect(undo(page)).toBeEnabled();
  await expect(page.getByText('Working out the year')).toHaveCount(0);
  await expect(page.locator('.field rect.old')).toHaveCount(0);
  // Another sky: the year is recomputed; after a stop halfway, the rest is grey.
  await page.getByRole('button', { name: /Change place and light$/ }).click();
  await page.getByRole('tab', { name: 'Sky' }).click();
  await page.getByText('Overcast', { exact: true }).click();
  await page.getByRole('button', { name: 'Stop the year' }).click();
  await expect(page.getByText(/Year stopped\. Grey: not yet recalculated/)).toBeVisible();
  expect(await page.locator('.field rect.old').count()).toBeGreaterThan(0);
  await page.getByRole('button', { name: 'Recalculate the year' }).click();
  await expect(page.locator('progress')).toHaveCount(0, { timeout: 60_000 });
  await expect(page.locator('.field rect.old')).toHaveCount(0);
});

test('a stopped day shows in grey what is out of date', async ({ shown: page }) => {
  await dayIsReady(page);
  const dimmed = await page.evaluate(async () => {
    const button = (text: string): HTMLButtonElement | undefined =>
      [...document.querySelectorAll('button')].find((found) => found.textContent.trim().startsWith(text));
    button('Next day')?.click();
    while (button('Stop') === undefined) await new Promise((resolve) => requestAnimationFrame(resolve));
    // Those of the day before are dimmed until theirs have come.
    const count = document.querySelectorAll('.slivers .awaited rect').length;
    button('Stop')?.click();
    return count;
  });
  expect(dimmed).toBeGreaterThan(10);
  await expect(page.locator('.slivers .awaited rect')).toHaveCount(0);
  await expect(page.getByText(/^Stopped\. Grey/)).toBeVisible();
  expect(await page.locator('.slivers rect.old').count()).toBeGreaterThan(10);
  await page.getByRole('button', { name: 'Recalculate' }).click();
  await dayIsReady(page);
  await expect(page.locator('.slivers rect.old')).toHaveCount(0);
});
