// New windows: a drawing is read, its questions are answered, and it is lit; what is hostile is refused.
import { readFileSync } from 'node:fs';
import { expect, type Page } from '@playwright/test';
import { choosePiece, figure, FIRST_DEMO, kept, openDemo, pressSlowly, settled, valueOf } from './page';
import { startOver } from './screens';
import { test } from './shown';

/** Without a unit; the last lead stops short, and a saddle bar reaches beyond the edge. */
const DRAWING = `<svg xmlns="http://www.w3.org/2000/svg" viewBox="-10 -10 320 220"><g fill="none" stroke="black">
  <rect id="edge" width="300" height="200"/>
  <g id="leads"><path d="M100 0V200"/><path d="M100 120H300"/><path d="M200 200V121.5"/></g>
  <g id="fittings" stroke="blue" stroke-width="2"><path d="M-2 50H302"/></g></g></svg>`;

const dialog = (page: Page) => page.getByRole('dialog', { name: 'New window' });
const light = (page: Page) => dialog(page).getByRole('button', { name: 'Light the window' });

/** Drops a file of these parts, each repeated so many times. */
async function drop(page: Page, name: string, parts: readonly (readonly [string, number])[]): Promise<void> {
  await page.evaluate(
    ([called, repeated]) => {
      const dataTransfer = new DataTransfer();
      const content = repeated.map(([part, times]) => new Blob(Array<string>(times).fill(part)));
      dataTransfer.items.add(new File(content, called, { type: 'image/svg+xml' }));
      for (const type of ['dragover', 'drop']) {
        window.dispatchEvent(new DragEvent(type, { dataTransfer, bubbles: true, cancelable: true }));
      }
    },
    [name, parts] as const,
  );
}

test('a dropped drawing is asked about, lit, changed, saved and opened again', async ({ shown: page }) => {
  await drop(page, 'north aisle.svg', [[DRAWING, 1]]);
  const width = dialog(page).getByRole('textbox', { name: 'Real width' });
  await expect(dialog(page)).toContainText('does not say how large the window is');
  await expect(light(page)).toBeDisabled();
  await expect(width).toBeFocused();
  // What the engine would refuse, the field refuses at once, with the same limits: at 19 867 mm the bar is 20 m long.
  await expect(width).toHaveAccessibleDescription(/from 10 to 19867 mm/);
  for (const typed of ['19868', '9']) {
    await width.fill(typed);
    await width.press('Enter');
    await expect(dialog(page).getByRole('alert')).toHaveText(
      `Real width: expected a length from 10 to 19867 mm, such as 600 mm; found “${typed}”.`,
    );
  }
  await width.fill('600');
  await width.press('Enter');
  await expect(dialog(page)).toContainText('600 × 400 mm, 3 pieces');
  await expect(dialog(page).getByText('1 place to look at')).toBeVisible();
  await expect(dialog(page).getByText('A line stops short 3 mm from the next line.')).toBeVisible();

  // The bar has no telling name; what it is can be said, and counts again at once.
  const bar = dialog(page).getByLabel('fittings', { exact: true });
  await bar.selectOption('leads');
  await expect(dialog(page)).toContainText('600 × 400 mm, 5 pieces');
  await bar.selectOption('bars');
  await expect(dialog(page)).toContainText('600 × 400 mm, 3 pieces');
  await expect(bar).toHaveValue('bars');

  await dialog(page).getByRole('textbox', { name: 'Bearing' }).fill('350');
  await page.keyboard.press('Enter');
  await expect(dialog(page)).toContainText('Faces north');
  await light(page).click();
  await expect(dialog(page)).toBeHidden();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('north aisle');
  await settled(page);
  const lit = await valueOf(page, 'total_lx');
  expect(lit).toBeGreaterThan(10);
  await expect(page.locator('[role=option]')).toHaveCount(3);
  await expect(page.locator('[role=option][aria-selected=true]')).toHaveCount(0);
  // It is in no file yet, so the browser keeps it at once.
  await expect(kept(page)).toContainText('kept');

  await choosePiece(page);
  await page
    .getByRole('button', { name: /, change$/ })
    .first()
    .click();
  await page.getByRole('searchbox').fill('ruby');
  await page.getByRole('button', { name: /^Gold ruby/ }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(lit);
  await settled(page);
  const red = await valueOf(page, 'total_lx');
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+s');
  const saved = await download;
  expect(saved.suggestedFilename()).toBe('north aisle.json');
  const buffer = readFileSync(await saved.path());
  expect(JSON.parse(buffer.toString()).room.facing_deg).toBe(350);

  await page.getByRole('button', { name: /^Undo: / }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(lit, 6);
  const input = page.locator('input[aria-label="Scene file"]');
  await input.setInputFiles({ name: 'saved.json', mimeType: 'application/json', buffer });
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(red, 6);
  await expect(page.getByRole('button', { name: 'Back to “north aisle”' }).first()).toBeVisible();
});

test('an opening is measured, corrected, lit, saved and opened again', async ({ shown: page }) => {
  await page.keyboard.press('n');
  await startOver(page);
  await dialog(page).getByRole('button', { name: 'Enter measurements …' }).click();
  await expect(dialog(page).getByRole('radio', { name: 'Rectangle', exact: true })).toBeFocused();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await expect(dialog(page).getByRole('radio', { name: 'Pointed' })).toBeChecked();
  await expect(dialog(page)).toContainText('600 × 1500 mm');

  // In either unit; what is impossible says so at its field.
  const field = (name: string) => dialog(page).getByRole('textbox', { name, exact: true });
  await field('Width').fill('24 in');
  await field('Height').fill('500');
  await page.keyboard.press('Enter');
  await expect(field('Height')).toHaveAccessibleDescription(
    'Height: expected 528 to 19999 mm (at least the rise of the head).',
  );
  await expect(field('Height')).toHaveAttribute('aria-invalid', 'true');
  await expect(light(page)).toBeDisabled();
  await field('Height').fill('1400');
  await page.keyboard.press('Enter');
  await expect(dialog(page)).toContainText('610 × 1400 mm');
  await expect(field('Height')).toHaveAttribute('aria-invalid', 'false');

  const caption = dialog(page).getByRole('figure');
  await dialog(page).getByRole('radio', { name: 'One piece' }).check();
  await expect(caption).toContainText('1 piece');
  await dialog(page).getByRole('radio', { name: 'Quarries' }).check();
  await field('Quarry height').fill('8');
  await page.keyboard.press('Enter');
  await expect(dialog(page).getByRole('alert')).toContainText('expected 10 to 20000 mm');
  await field('Quarry height').fill('200');
  await page.keyboard.press('Enter');
  await expect(dialog(page)).toContainText('Drawn 102 × 200 mm, point to point,');
  const pieces = Number(/(\d+) pieces/.exec((await caption.textContent()) ?? '')?.[1]);
  expect(pieces).toBeGreaterThan(60);

  await light(page).click();
  await expect(dialog(page)).toBeHidden();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('Pointed window');
  await settled(page);
  const lit = await valueOf(page, 'total_lx');
  expect(lit).toBeGreaterThan(10);
  await expect(page.locator('[role=option]')).toHaveCount(pieces);
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+s');
  const saved = await download;
  expect(saved.suggestedFilename()).toBe('Pointed window.json');
  const buffer = readFileSync(await saved.path());
  expect(JSON.parse(buffer.toString()).windows[0].drawing.sight_size.path).toContain('A609.6 609.6');
  await openDemo(page, FIRST_DEMO);
  await page
    .locator('input[aria-label="Scene file"]')
    .setInputFiles({ name: 'saved.json', mimeType: 'application/json', buffer });
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(lit, 6);
});

test('hostile files are refused, and the page stays usable', async ({ shown: page }) => {
  const before = await valueOf(page, 'total_lx');
  await page.keyboard.press('n');
  await expect(dialog(page)).toBeVisible();
  await drop(page, 'long.svg', [[' '.repeat(2 ** 20), 100]]);
  await expect(dialog(page).getByRole('alert')).toContainText('at most 33.5 MB; found 104.9 MB');

  await drop(page, 'deep.svg', [
    ['<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm">', 1],
    ['<g>', 100_000],
    ['</g>', 100_000],
    ['</svg>', 1],
  ]);
  await expect(dialog(page).getByRole('alert')).toContainText('Expected at most');

  const copies = Array.from({ length: 12 }, (_, k) => `<g id="n${k + 1}">${`<use href="#n${k}"/>`.repeat(10)}</g>`);
  const bomb = `<svg xmlns="http://www.w3.org/2000/svg" width="9mm" height="9mm"><path id="n0" d="M0 0H9" stroke="red"/>${copies.join('')}</svg>`;
  await drop(page, 'copies.svg', [[bomb, 1]]);
  await expect(dialog(page).getByText('copies.svg')).toBeVisible();
  await expect(dialog(page).getByRole('alert')).toContainText('elements');
  await expect(light(page)).toBeDisabled();

  // A photograph, or a PDF under another name, is no drawing, and what to do instead is said.
  await drop(page, 'sheet.svg', [['%PDF-1.7\n', 1]]);
  await expect(dialog(page).getByRole('alert')).toHaveText(
    'Expected a drawing in SVG; found a document (PDF), which is not read yet: trace it in a drawing program and save the tracing as SVG.',
  );

  // A good one is still read.
  await drop(page, 'good.svg', [[DRAWING.replace('<svg ', `<svg width="320mm" height="220mm" `), 1]]);
  await expect(dialog(page)).toContainText('300 × 200 mm, 3 pieces');
  await expect(light(page)).toBeEnabled();
  await dialog(page).getByRole('button', { name: 'Cancel' }).click();
  await expect(dialog(page)).toBeHidden();
  expect(await valueOf(page, 'total_lx')).toBe(before);
  await choosePiece(page);
});

test('the limits of the real width follow from the shape of the drawing', async ({ shown: page }) => {
  const upright = DRAWING.replace('-10 -10 320 220', '-10 -10 320 820').replace('height="200"', 'height="800"');
  await drop(page, 'tall.svg', [[upright, 1]]);
  const width = dialog(page).getByRole('textbox', { name: 'Real width' });
  // 300 by 800: at 7500 mm it is 20 m high.
  await width.fill('7501');
  await width.press('Enter');
  await expect(dialog(page).getByRole('alert')).toContainText('from 10 to 7500 mm');
  await width.fill('7500');
  await width.press('Enter');
  await expect(dialog(page)).toContainText('7500 × 20000 mm');
});

test('only the measurement at fault is marked', async ({ shown: page }) => {
  await page.keyboard.press('n');
  await startOver(page);
  await dialog(page).getByRole('button', { name: 'Enter measurements …' }).click();
  await dialog(page).getByLabel('Border all round').check();
  const border = dialog(page).getByRole('textbox', { name: 'Border width' });
  await border.fill('300');
  await border.press('Enter');
  await expect(dialog(page).getByRole('alert')).toContainText(['Border width: expected']);
  await expect(dialog(page).locator('[aria-invalid=true]')).toHaveCount(1);
});

test('a long reading can be stopped', async ({ shown: page }) => {
  const lines = Array.from({ length: 400 }, (_, k) => `<path d="M${k + 1} 0V500"/><path d="M0 ${k + 1}H500"/>`);
  const dense = `<svg xmlns="http://www.w3.org/2000/svg" width="500mm" height="500mm" viewBox="0 0 500 500"><g fill="none"
    stroke="black"><rect width="500" height="500"/>${lines.join('')}</g></svg>`;
  const workers = page.workers().length;
  await drop(page, 'dense.svg', [[dense, 1]]);
  await expect(dialog(page).getByText('Reading the drawing …')).toBeVisible();
  await expect.poll(() => page.workers().length).toBe(workers + 1);
  await dialog(page).getByRole('button', { name: 'Stop' }).click();
  await expect(dialog(page).getByText('Reading the drawing …')).toHaveCount(0);
  await expect.poll(() => page.workers().length).toBe(workers);
  const chooser = dialog(page).getByRole('button', { name: 'Choose a drawing …' });
  await expect(chooser).toBeFocused();
  await page.keyboard.press('Escape');
  await expect(dialog(page)).toBeHidden();
  await expect(figure(page, 'total_lx')).toBeVisible();
});

test('a press is not lost when it leaves a field that then says something or is read again', async ({
  shown: page,
}) => {
  await page.keyboard.press('n');
  await dialog(page).getByRole('button', { name: 'Enter measurements …' }).click();
  await dialog(page).getByRole('radio', { name: 'Pointed' }).check();
  const height = dialog(page).getByRole('textbox', { name: 'Height', exact: true });
  const border = dialog(page).getByRole('checkbox', { name: 'Border all round' });
  const was = await border.isChecked();
  await height.fill('500');
  await pressSlowly(page, border);
  expect(await border.isChecked()).toBe(!was);
  await expect(dialog(page).getByText('Not possible yet.')).toBeVisible();
  await height.fill('tall');
  await pressSlowly(page, border);
  expect(await border.isChecked()).toBe(was);
  await expect(dialog(page).getByRole('alert').filter({ hasText: 'found “tall”' })).toBeVisible();
  await page.keyboard.press('Escape');
  await expect(dialog(page)).toBeHidden();
  await page.evaluate(() => new Promise((resolve) => setTimeout(resolve)));

  await drop(page, 'north aisle.svg', [[DRAWING, 1]]);
  const width = dialog(page).getByRole('textbox', { name: 'Real width' });
  await width.fill('500');
  await width.press('Enter');
  await expect(light(page)).toBeEnabled();
  await width.fill('600');
  await pressSlowly(page, light(page));
  await expect(dialog(page)).toBeHidden();
  await expect(page.locator('.wall .size')).toContainText('600 × 400 mm');
});

test('a new window that was begun is there when its dialog is opened again', async ({ shown: page }) => {
  const field = (name: string) => dialog(page).getByRole('textbox', { name, exact: true });
  await drop(page, 'north aisle.svg', [[DRAWING, 1]]);
  await field('Real width').fill('612.5');
  await page.keyboard.press('Enter');
  await expect(dialog(page)).toContainText('3 pieces');
  // To the tenth, as it was typed.
  await expect(field('Real width')).toHaveValue('612.5');
  await dialog(page).getByLabel('fittings', { exact: true }).selectOption('leads');
  await expect(dialog(page)).toContainText('5 pieces');
  await field('Name').fill('South aisle');
  await field('Bearing').fill('350');
  await page.keyboard.press('Enter');
  const marks = dialog(page).getByText('assumed', { exact: true });
  const place = dialog(page).locator('p').filter({ hasText: 'Place on Earth' });
  const before = await marks.count();
  await dialog(page).getByLabel('Time zone').fill('Europe/Lisbon');
  await page.keyboard.press('Enter');
  // Only the time zone is known now.
  await expect(marks).toHaveCount(before - 1);
  await expect(place).toContainText('assumed');

  for (const leave of ['Escape', 'Close', 'Cancel']) {
    if (leave === 'Escape') await page.keyboard.press('Escape');
    else await dialog(page).getByRole('button', { name: leave }).click();
    await expect(dialog(page)).toBeHidden();
    // No hand is so quick, but a key before the page has heard that the dialog closed does nothing.
    await expect(async () => {
      await page.keyboard.press('n');
      await expect(dialog(page)).toBeVisible({ timeout: 1000 });
    }).toPass();
    await expect(field('Real width')).toHaveValue('612.5');
  }
  await expect(field('Name')).toHaveValue('South aisle');
  await expect(field('Bearing')).toHaveValue('350');
  await expect(dialog(page).getByLabel('Time zone')).toHaveValue('Europe/Lisbon');
  await expect(dialog(page)).toContainText('5 pieces');

  await dialog(page).getByRole('button', { name: 'Use measurements instead' }).click();
  await expect(dialog(page).getByRole('radio', { name: 'Rectangle', exact: true })).toBeFocused();
  await dialog(page).getByRole('button', { name: 'Use the drawing instead' }).click();
  await expect(dialog(page)).toContainText('5 pieces');
  await dialog(page).getByRole('button', { name: 'Start over' }).click();
  await expect(dialog(page).getByRole('button', { name: 'Choose a drawing …' })).toBeFocused();
  await page.keyboard.press('Escape');
});

test('a lighting that fails is no fault of the drawing, and can be tried again', async ({ shown: page }) => {
  await drop(page, 'aisle.svg', [[DRAWING.replace('<svg ', `<svg width="320mm" height="220mm" `), 1]]);
  await expect(light(page)).toBeEnabled();
  await page.route(/new-window\.worker/, (route) => route.abort());
  await light(page).click();
  await expect(dialog(page).getByRole('alert')).toHaveText(/^The window could not be lit \(.+\)\. Try again\.$/);
  await expect(light(page)).toBeEnabled();
  await page.unroute(/new-window\.worker/);
  await light(page).click();
  await expect(dialog(page)).toBeHidden();
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('aisle');
});

test('a drawing without an edge or a possible size says what can be done', async ({ shown: page }) => {
  const open = `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200">
    <path d="M10 10H290M50 50V150" fill="none" stroke="black"/></svg>`;
  await drop(page, 'open.svg', [[open, 1]]);
  await expect(dialog(page).getByRole('alert')).toContainText('or name its layer outline');
  await expect(dialog(page).getByRole('alert')).not.toContainText('take the layer');
  await expect(dialog(page).getByRole('list', { name: 'What each layer is' })).toHaveCount(0);
  const vast = DRAWING.replace('<svg ', `<svg width="64000mm" height="44000mm" `);
  await drop(page, 'vast.svg', [[vast, 1]]);
  await expect(dialog(page).getByRole('alert')).toContainText('at most 20 000 mm');
  await expect(dialog(page)).toContainText('How wide is it really?');
  await expect(dialog(page)).not.toContainText('does not say how large');
});

test('a window is not lit while a field shows what it has refused', async ({ shown: page }) => {
  await drop(page, 'aisle.svg', [[DRAWING.replace('<svg ', `<svg width="320mm" height="220mm" `), 1]]);
  await expect(light(page)).toBeEnabled();
  const bearing = dialog(page).getByRole('textbox', { name: 'Bearing' });
  await bearing.fill('towards the mill');
  await light(page).click();
  await expect(bearing).toBeFocused();
  await expect(bearing).toHaveAttribute('aria-invalid', 'true');
  await expect(dialog(page)).toBeVisible();
  await bearing.fill('350');
  await light(page).click();
  await expect(dialog(page)).toBeHidden();
});

test('a picture dropped on the drawing that is being answered leaves it there', async ({ shown: page }) => {
  await drop(page, 'aisle.svg', [[DRAWING, 1]]);
  await expect(dialog(page).getByRole('textbox', { name: 'Real width' })).toBeVisible();
  await page.evaluate(() => {
    const dataTransfer = new DataTransfer();
    dataTransfer.items.add(new File(['\u00ff'], 'photo.jpg', { type: 'image/jpeg' }));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
  });
  const refused = page.getByRole('dialog', { name: 'This file is not a drawing' });
  await expect(refused).toContainText('photo.jpg is a picture or a document.');
  await page.keyboard.press('Escape');
  await expect(refused).toBeHidden();
  await expect(dialog(page)).toContainText('aisle.svg');
  await startOver(page);
});

test('several drawings at once are refused, and that is said', async ({ shown: page }) => {
  await page.evaluate(() => {
    const dataTransfer = new DataTransfer();
    for (const name of ['one.svg', 'two.svg']) dataTransfer.items.add(new File(['<svg/>'], name));
    window.dispatchEvent(new DragEvent('drop', { dataTransfer, bubbles: true, cancelable: true }));
  });
  const refused = page.getByRole('dialog', { name: /at a time$/ });
  await expect(refused).toHaveAccessibleName('One file at a time');
  await expect(refused).toContainText('2 files were dropped, and none was opened.');
  await expect(dialog(page)).toBeHidden();
  await page.keyboard.press('Escape');
});
