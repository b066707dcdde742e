// The lines of a window that has been lit are checked, and its open ends joined.
import { readFileSync } from 'node:fs';
import { expect, type Locator, type Page } from '@playwright/test';
import { choosePiece, overlapping, settled, valueOf } from './page';
import { test } from './shown';

/** Without a unit; at 600 mm, two leads stop 2.4 and 2.8 mm short. */
const DRAWING = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="-10 -10 320 220"><g fill="none" stroke="black">
  <rect id="edge" width="300" height="200"/>
  <g id="leads"><path d="M100 0V200"/><path d="M100 120H300"/><path d="M0 60H98.8"/><path d="M200 200V121.4"/></g>
  </g></svg>`;

const panel = (page: Page) => page.getByRole('region', { name: 'The drawing' });
const places = (page: Page) => panel(page).getByRole('listitem');
const pieces = (page: Page) => page.locator('[role=option]');

/** Drops a drawing on the page and tells its real width; returns the dialog about it. */
async function begin(page: Page, name: string, drawing: string): Promise<Locator> {
  await page.evaluate(
    ([called, content]) => {
      const dataTransfer = new DataTransfer();
      dataTransfer.items.add(new File([content], called, { type: 'image/svg+xml' }));
      window.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
    },
    [name, drawing] as const,
  );
  const dialog = page.getByRole('dialog', { name: 'New window' });
  await dialog.getByRole('textbox', { name: 'Real width' }).fill('600');
  await page.keyboard.press('Enter');
  return dialog;
}

test('the open ends of a lit drawing are listed, shown and joined', async ({ shown: page }) => {
  const dialog = await begin(page, 'two short leads.svg', DRAWING);
  await expect(dialog.getByText('2 places to look at')).toBeVisible();
  await dialog.getByRole('button', { name: 'Light the window' }).click();
  await expect(dialog).toBeHidden();
  await expect(pieces(page)).toHaveCount(3);

  // What is left of the list after lighting, each place in the window.
  await expect(page.getByText('2 places in the drawing to look at.')).toBeVisible();
  await page.getByRole('button', { name: 'Show', exact: true }).click();
  await expect(panel(page).getByRole('status')).toHaveText('2 places to look at');
  await expect(places(page).nth(0)).toContainText('A line stops short 2.4 mm from the next line.');
  const within = panel(page).getByRole('textbox', { name: 'Join within' });
  await within.fill('2');
  await within.press('Enter');
  await expect(panel(page).getByText('Nothing within this distance can be joined.')).toContainText('2.4 mm');
  const marks = page.locator('.area .mark');
  await expect(marks).toHaveCount(2);
  await places(page).nth(1).hover();
  await expect(page.locator('.area .mark.pointed')).toHaveText('2');
  // A mark that is put anew has no box for a moment.
  await expect(async () => {
    const mark = await marks.filter({ hasText: '2' }).boundingBox();
    const area = await page.locator('.area .frame').boundingBox();
    expect((mark!.x - area!.x) / area!.width).toBeCloseTo(2 / 3, 2);
    expect((mark!.y - area!.y) / area!.height).toBeCloseTo(121.4 / 200, 2);
  }).toPass();

  // Within the tolerance, one by one.
  await expect(panel(page).getByRole('button', { name: /^Join (place|all)/ })).toHaveCount(0);
  await within.fill('3');
  await within.press('Enter');
  await expect(panel(page).getByRole('button', { name: 'Join all (2)' })).toBeVisible();
  const join = panel(page).getByRole('button', { name: 'Join place 1' });
  await join.focus();
  await join.press('Enter');
  await expect(pieces(page)).toHaveCount(4);
  await expect(panel(page).getByRole('status')).toHaveText('1 place to look at');
  await expect(page.getByText('Piece 4 is new, with the make-up of piece 2.')).toBeVisible();
  // The keys go on with the place that is the first now.
  await expect(join).toBeFocused();
  await expect(page.locator('.area .mark.pointed')).toHaveText('1');
  await join.press('Enter');
  await expect(pieces(page)).toHaveCount(5);
  await expect(panel(page).getByRole('status')).toHaveText('Nothing to look at: every line meets another.');
  await expect(marks).toHaveCount(0);
  await expect(panel(page).getByRole('button', { name: /^Close/ })).toBeFocused();

  await page.getByRole('button', { name: 'Undo: join an open end' }).click();
  await expect(pieces(page)).toHaveCount(4);
  await expect(places(page)).toHaveCount(1);
  await page.getByRole('button', { name: 'Redo: join an open end' }).click();
  await expect(pieces(page)).toHaveCount(5);
  await expect(panel(page).getByRole('status')).toContainText('Nothing');
  await page.keyboard.press('Escape');
  await expect(panel(page)).toBeHidden();

  // The pieces take glass as any other, and a file keeps them.
  await settled(page);
  const plain = await valueOf(page, 'total_lx');
  await choosePiece(page);
  await page
    .getByRole('button', { name: /, change$/ })
    .first()
    .click();
  await page.getByRole('searchbox').fill('ruby');
  await page.getByRole('button', { name: /^Gold ruby/ }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeLessThan(plain);
  await settled(page);
  const red = await valueOf(page, 'total_lx');
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+s');
  const saved = await download;
  const buffer = readFileSync(await saved.path());
  const paths = (JSON.parse(buffer.toString()).windows[0].drawing.cutlines as { path: string }[]).map(
    ({ path }) => path,
  );
  expect(paths.slice(2)).toEqual(['M 0 280 L 200 280', 'M 400 0 L 400 160']);

  await page.getByRole('button', { name: /^Undo: glass/ }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(plain, 6);
  const input = page.locator('input[aria-label="Scene file"]');
  await input.setInputFiles({ name: 'saved.json', mimeType: 'application/json', buffer });
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(red, 6);
  await expect(pieces(page)).toHaveCount(5);
  await page.keyboard.press('d');
  await expect(panel(page).getByRole('status')).toHaveText('Nothing to look at: every line meets another.');
});

test('the numbers of places near one another stay apart', async ({ shown: page }) => {
  const leads = Array.from({ length: 14 }, (_, i) => `<path d="M${20 + 18 * i} 0V${117 + (i % 3) / 2}"/>`).join('');
  const near = Array.from({ length: 4 }, (_, i) => `<path d="M${60 + 3 * i} 200V121.2"/>`).join('');
  const drawing = DRAWING.replace(/<g id="leads">.*?<\/g>/, `<g id="leads"><path d="M0 120H300"/>${leads}${near}</g>`);
  const dialog = await begin(page, 'many short leads.svg', drawing);
  await expect(dialog.getByText('18 places to look at')).toBeVisible();
  await page.setViewportSize({ width: 390, height: 844 });
  await expect(dialog.locator('.mark > span').first()).toBeVisible();
  expect(await overlapping(dialog.locator('.mark > span'))).toEqual([]);
  await dialog.getByRole('button', { name: 'Light the window' }).click();
  await expect(dialog).toBeHidden();
  await page.keyboard.press('d');
  await expect(panel(page).getByRole('status')).toHaveText('18 places to look at');
  const marks = page.locator('.area .mark');
  for (const [width, height] of [
    [390, 844],
    [860, 600],
    [1440, 900],
  ] as const) {
    await page.setViewportSize({ width, height });
    await settled(page);
    expect(await overlapping(page.locator('.area .mark > span')), `${width} × ${height}`).toEqual([]);
  }
  // Every number is there, and one that shares a mark has its own while it is pointed at.
  const shown = (await marks.allInnerTexts()).join(', ');
  expect(shown).toContain('17, 18');
  await places(page).nth(15).hover();
  await expect(page.locator('.area .mark.pointed')).toHaveText('16');
});

test('a check that failed can be tried again', async ({ shown: page }) => {
  await page.route(/new-window\.worker/, (route) => route.abort());
  await page.getByRole('button', { name: 'More', exact: true }).click();
  await page.getByRole('button', { name: 'Check the drawing', exact: true }).click();
  await expect(panel(page).getByRole('status')).toContainText('could not be checked');
  await expect(panel(page).getByRole('textbox', { name: 'Join within' })).toBeVisible();
  await page.unroute(/new-window\.worker/);
  await panel(page).getByRole('button', { name: 'Try again' }).click();
  await expect(panel(page).getByRole('status')).toHaveText('Nothing to look at: every line meets another.');
  await expect(panel(page).getByRole('button', { name: 'Try again' })).toHaveCount(0);
  await expect(panel(page).getByRole('button', { name: /^Close/ })).toBeFocused();
  await page.keyboard.press('Escape');
});

test('a gap that was closed in the edge stays in the list beside the open ends of the window', async ({
  shown: page,
}) => {
  // At the corner, by 15 units both ways: √2 × 15 × 2 mm.
  const edge = '<path id="edge" d="M15 0H300V200H0V15"/>';
  const dialog = await begin(page, 'open edge.svg', DRAWING.replace(/<rect [^>]*\/>/, edge));
  await expect(dialog.getByText('3 places to look at')).toBeVisible();
  await dialog.getByRole('button', { name: 'Light the window' }).click();
  await expect(dialog).toBeHidden();
  await page.keyboard.press('d');
  await expect(panel(page).getByRole('status')).toHaveText('3 places to look at');
  await expect(places(page).nth(2)).toContainText("3 The window's edge was open by 42.4 mm here; it was closed");
});
