// A piece: its section, changes, undo.
import { expect } from '@playwright/test';
import { choosePiece, figure, open, settled, valueOf, windowPixels } from './page';
import { test } from './shown';

test(
  'another glass changes window and figures; undo brings the first back',
  { tag: '@picture' },
  async ({ shown: page }) => {
    await choosePiece(page);
    await settled(page);
    const before = { lux: await valueOf(page, 'total_lx'), pixels: await windowPixels(page) };
    await page.getByRole('button', { name: /, change$/ }).click();
    const list = page.getByRole('region', { name: /^Glass for piece/ });
    const other = list.locator('li button[aria-pressed="false"]').first();
    const name = await other.locator('.name').innerText();
    await other.click();
    await expect(list.locator('[aria-pressed="true"] .name')).toHaveText(name);
    // The light stays in sight, with what the glass changes.
    await expect(page.locator('.change-lx')).toHaveText(/^[+−]\S+ lx$|^less than \S+ lx (more|less)$/);
    const [light, top] = [await figure(page, 'total_lx').boundingBox(), await list.boundingBox()];
    expect((light?.y ?? 0) + (light?.height ?? 0)).toBeLessThanOrEqual(top?.y ?? 0);
    await page.keyboard.press('Escape');
    await expect(page.locator('.change-lx')).toHaveText('');
    await expect(list).toHaveCount(0);
    await expect(page.getByRole('button', { name: /, change$/ })).toContainText(name, { ignoreCase: true });
    await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(before.lux);
    await expect.poll(() => windowPixels(page)).not.toBe(before.pixels);

    await page.keyboard.press('Control+z');
    await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(before.lux, 6);
    await expect.poll(() => windowPixels(page)).toBe(before.pixels);
    await page.keyboard.press('Control+Shift+z');
    await expect.poll(() => valueOf(page, 'total_lx')).not.toBeCloseTo(before.lux, 6);
  },
);

test('thickness and density take a decimal comma, refuse nonsense and change the light', async ({ shown: page }) => {
  await choosePiece(page);
  const before = await valueOf(page, 'total_lx');
  const thickness = page.getByLabel('Thickness', { exact: true });
  await thickness.fill('6,5');
  await thickness.press('Enter');
  await expect(thickness).toHaveValue('6.5');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeLessThan(before);
  const thicker = await valueOf(page, 'total_lx');

  await thickness.fill('thick');
  await thickness.press('Enter');
  await expect(page.getByRole('alert')).toContainText('found “thick”');
  await thickness.press('Escape');
  await expect(thickness).toHaveValue('6.5');
  // An undo leaves neither the entry nor its error.
  await thickness.fill('abc');
  await thickness.press('Enter');
  await expect(page.getByRole('alert')).toBeVisible();
  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(page.getByRole('alert')).toHaveCount(0);
  await expect(thickness).not.toHaveValue('abc');
  await page.getByRole('button', { name: /^Redo/ }).click();
  await expect(thickness).toHaveValue('6.5');

  await page.getByRole('button', { name: 'Add a layer' }).click();
  await page.getByRole('button', { name: 'Matting', exact: true }).click();
  const density = page.getByLabel('Density', { exact: true });
  await expect(density).toHaveValue('0.35');
  await density.fill('2,5');
  await density.press('Enter');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeLessThan(thicker);
  await page.getByRole('button', { name: 'Density: less' }).click();
  await expect(density).toHaveValue('2.45');
});

test('a click selects the piece under it, Escape clears the selection', async ({ shown: page }) => {
  const box = await page.locator('.area').boundingBox();
  if (box === null) throw new Error('the window has no box');
  const heading = page.getByRole('heading', { name: /^Piece \d+$/ });
  // A lead may lie exactly in the middle: try beside it.
  for (const dx of [0, 9, 18, 27]) {
    await page.mouse.click(box.x + box.width / 2 + dx, box.y + box.height / 2);
    if (await heading.isVisible()) break;
  }
  await expect(heading).toBeVisible();
  const chosen = page.locator('[role=option][aria-selected=true]');
  const first = await chosen.getAttribute('id');
  await page.getByRole('listbox', { name: /Pieces of the window/ }).focus();
  await page.keyboard.press('ArrowDown');
  expect(await chosen.getAttribute('id')).not.toBe(first);
  // From a control of the section, too, the focus returns to the pieces.
  const change = page.getByRole('button', { name: /, change$/ });
  const glass = page.locator('ol button.head').filter({ hasText: / mm/ }).last();
  if ((await glass.getAttribute('aria-expanded')) === 'false') await glass.click();
  await change.click();
  await page.keyboard.press('Escape');
  await expect(change).toBeFocused();
  await page.keyboard.press('Escape');
  await expect(heading).toHaveCount(0);
  await expect(page.getByRole('listbox', { name: /Pieces of the window/ })).toBeFocused();
});

test('on a small screen a tapped piece raises the sheet', async ({ page }) => {
  await open(page);
  await page.setViewportSize({ width: 390, height: 700 });
  await expect(figure(page, 'total_lx')).toBeInViewport();
  await expect(page.getByLabel('Viewing position', { exact: true })).not.toBeInViewport();
  await page.getByRole('button', { name: 'Raise the figures' }).click();
  await expect(page.getByLabel('Viewing position', { exact: true })).toBeInViewport();
  await page.getByRole('button', { name: 'Lower the figures' }).click();
  await choosePiece(page);
  await expect(page.getByRole('button', { name: 'Lower the figures' })).toBeVisible();
});
