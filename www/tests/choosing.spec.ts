// Selecting several pieces: by pointer, by keys, by glass and colour, by region.
import { expect, type Page } from '@playwright/test';
import { choosePiece, pointOf } from './page';
import { test } from './shown';

const chosen = (page: Page) => page.locator('[role=option][aria-selected=true]');
const status = (page: Page) => page.getByRole('group', { name: 'Selection' }).getByRole('status');
const list = (page: Page) => page.getByRole('listbox', { name: /Pieces of the window/ });

test('Shift adds and removes pieces; Escape clears the selection', async ({ shown: page }) => {
  await choosePiece(page);
  const first = await chosen(page).getAttribute('id');
  const options = await page.locator('[role=option]').evaluateAll((all) => all.map((one) => one.id));
  const second = options.find((id) => id !== first) ?? '';
  const point = await pointOf(page, Number(second.replace('piece-', '')));
  await page.keyboard.down('Shift');
  await page.mouse.click(point.x, point.y);
  await page.keyboard.up('Shift');
  await expect(chosen(page)).toHaveCount(2);
  await expect(status(page)).toHaveText('2 pieces selected');
  // The section shown is that of the last one selected.
  await expect(page.getByRole('heading', { name: `Piece ${second.replace('piece-', '')}`, exact: true })).toBeVisible();
  await page.keyboard.down('Control');
  await page.mouse.click(point.x, point.y);
  await page.keyboard.up('Control');
  await expect(chosen(page)).toHaveCount(1);
  await expect(chosen(page)).toHaveAttribute('id', first ?? '');
  await page.keyboard.press('Escape');
  await expect(chosen(page)).toHaveCount(0);
});

test('by keys: with Shift to the next, one by one with Ctrl and Space, all', async ({ shown: page }) => {
  await choosePiece(page);
  await page.keyboard.press('Shift+ArrowDown');
  await page.keyboard.press('Shift+ArrowDown');
  await expect(chosen(page)).toHaveCount(3);
  const before = await list(page).getAttribute('aria-activedescendant');
  await page.keyboard.press('Control+ArrowRight');
  await expect(chosen(page)).toHaveCount(3);
  expect(await list(page).getAttribute('aria-activedescendant')).not.toBe(before);
  await page.keyboard.press('Space');
  await expect(chosen(page)).toHaveCount(4);
  await page.keyboard.press('Space');
  await expect(chosen(page)).toHaveCount(3);
  await page.keyboard.press('Control+a');
  await expect(chosen(page)).toHaveCount(await page.locator('[role=option]').count());
  await page.keyboard.press('ArrowUp');
  await expect(chosen(page)).toHaveCount(1);
});

test('a plain click on one of several shows it and keeps them; a click on another ends the group', async ({
  shown: page,
}) => {
  await choosePiece(page);
  const glassButton = page.getByRole('button', { name: 'All of this glass' });
  const before = await glassButton.boundingBox();
  await glassButton.click();
  const count = await chosen(page).count();
  expect(count).toBeGreaterThan(1);
  // The button is where it was pressed.
  expect(await glassButton.boundingBox()).toEqual(before);
  const ids = await chosen(page).evaluateAll((all) => all.map((one) => Number(one.id.replace('piece-', ''))));
  for (const id of ids.slice(0, 2)) {
    const at = await pointOf(page, id);
    await page.mouse.click(at.x, at.y);
    await expect(page.getByRole('heading', { name: `Piece ${id}`, exact: true })).toBeVisible();
    await expect(chosen(page)).toHaveCount(count);
    // Two clicks in one place would zoom.
    await page.waitForTimeout(400);
  }
  const outside = await page
    .locator('[role=option][aria-selected=false]')
    .first()
    .evaluate((one) => Number(one.id.replace('piece-', '')));
  const at = await pointOf(page, outside);
  await page.mouse.click(at.x, at.y);
  await expect(chosen(page)).toHaveCount(1);
  await expect(page.getByRole('heading', { name: `Piece ${outside}`, exact: true })).toBeVisible();
  // No ring round the window after a click.
  expect(await page.locator('path.frame').evaluate((frame) => getComputedStyle(frame).stroke)).toBe('rgba(0, 0, 0, 0)');
});

test('all of this glass, all of this colour', async ({ shown: page }) => {
  await choosePiece(page);
  const glass = ((await chosen(page).getAttribute('aria-label')) ?? '').replace(/^Piece \d+, /, '');
  const primary = await chosen(page).getAttribute('id');
  await page.getByRole('button', { name: 'All of this glass' }).click();
  await expect(chosen(page)).toHaveCount(await page.locator(`[role=option][aria-label$=", ${glass}"]`).count());
  await expect(
    page.getByRole('heading', { name: (primary ?? '').replace('piece-', 'Piece '), exact: true }),
  ).toBeVisible();
  await page.getByRole('button', { name: 'Clear selection' }).click();
  await expect(chosen(page)).toHaveCount(0);
  await choosePiece(page);
  await page.keyboard.press('c');
  const alike = await chosen(page).count();
  expect(alike).toBeGreaterThan(1);
  expect(alike).toBeLessThan(await page.locator('[role=option]').count());
});

test('a region dragged with Shift, or with “Select several” pressed, selects the pieces in it', async ({
  shown: page,
}) => {
  const frame = await page.locator('path.frame').boundingBox();
  if (frame === null) throw new Error('the window has no box');
  const drag = async (fromY: number, toY: number): Promise<void> => {
    await page.mouse.move(frame.x - 4, frame.y + fromY * frame.height);
    await page.mouse.down();
    await page.mouse.move(frame.x + frame.width / 2, frame.y + toY * frame.height);
    await expect(page.locator('path.region')).toBeVisible();
    await page.mouse.move(frame.x + frame.width + 4, frame.y + toY * frame.height);
    await page.mouse.up();
  };
  const inside = (from: number, to: number): Promise<number> =>
    page.locator('[role=option]').evaluateAll(
      (all, [top, bottom]) =>
        all.filter((one) => {
          const box = one.getBoundingClientRect();
          return box.top > top && box.bottom < bottom;
        }).length,
      [frame.y + from * frame.height, frame.y + to * frame.height] as const,
    );
  await page.keyboard.down('Shift');
  await drag(0.7, 1.01);
  await page.keyboard.up('Shift');
  await expect(page.locator('path.region')).toHaveCount(0);
  const lower = await chosen(page).count();
  // All pieces fully inside are selected, and some of those that the edge crosses.
  expect(lower).toBeGreaterThanOrEqual(await inside(0.7, 1.01));
  expect(lower).toBeLessThan(await page.locator('[role=option]').count());
  await page.getByRole('button', { name: 'Select several' }).click();
  await drag(-0.01, 1.01);
  await expect(chosen(page)).toHaveCount(await page.locator('[role=option]').count());
});

test('a finger selects several by a long press and draws a loop around others', async ({ shown: page }) => {
  const context = page.context();
  const client = await context.newCDPSession(page);
  const touch = (type: string, points: { x: number; y: number }[]): Promise<unknown> =>
    client.send('Input.dispatchTouchEvent', { type: type as 'touchStart', touchPoints: points });
  const options = await page
    .locator('[role=option]')
    .evaluateAll((all) => all.map((one) => Number(one.id.replace('piece-', ''))));
  const [a, b] = [options[3] ?? 0, options[20] ?? 0];
  for (const piece of [a, b]) {
    const at = await pointOf(page, piece);
    await touch('touchStart', [at]);
    await expect(page.locator(`#piece-${piece}`)).toHaveAttribute('aria-selected', 'true');
    await touch('touchEnd', []);
  }
  await expect(chosen(page)).toHaveCount(2);
  await page.getByRole('button', { name: 'Select several' }).click();
  const frame = await page.locator('path.frame').boundingBox();
  if (frame === null) throw new Error('the window has no box');
  const at = (x: number, y: number) => ({ x: frame.x + x * frame.width, y: frame.y + y * frame.height });
  await touch('touchStart', [at(-0.05, 0.5)]);
  for (const [x, y] of [
    [0.3, 0.5],
    [1.05, 0.5],
    [1.05, 1.01],
    [0.5, 1.01],
    [-0.05, 1.01],
  ] as const) {
    await touch('touchMove', [at(x, y)]);
  }
  await touch('touchEnd', []);
  await expect.poll(() => chosen(page).count()).toBeGreaterThan(10);
});

test('a message moves nothing on the page', async ({ shown: page }) => {
  await choosePiece(page);
  const area = page.locator('.area');
  const before = await area.boundingBox();
  await page.getByRole('button', { name: 'Copy this make-up' }).click();
  await expect(page.locator('header .line p')).toContainText('is copied');
  expect(await area.boundingBox()).toEqual(before);
});

test('Enter goes from a piece to its layers, Escape back', async ({ shown: page }) => {
  await choosePiece(page);
  await expect(list(page)).toBeFocused();
  await page.keyboard.press('Enter');
  const open = page.locator('ol button.head[aria-expanded=true]');
  await expect(open).toBeFocused();
  await page.keyboard.press('Tab');
  await expect(page.getByRole('button', { name: /, change$/ })).toBeFocused();
  await page.keyboard.press('Escape');
  await expect(list(page)).toBeFocused();
  await expect(chosen(page)).toHaveCount(1);
  // From there on, Escape does what it always does.
  await page.keyboard.press('Escape');
  await expect(chosen(page)).toHaveCount(0);
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog', { name: 'Keys' })).toContainText('Go to the layers of the selected piece');
  await page.keyboard.press('Escape');
});
