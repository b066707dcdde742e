// Scene files: saved, opened again, and refused with every fault where they are broken.
import { readFileSync } from 'node:fs';
import { expect, test } from '@playwright/test';
import { choosePiece, open, valueOf } from './page';

test('a saved file opens again as it was', async ({ page }, info) => {
  await open(page, info.project.name);
  await choosePiece(page);
  const before = await valueOf(page, 'total_lx');
  await page.getByLabel('Thickness', { exact: true }).fill('7');
  await page.keyboard.press('Enter');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(before);
  const changed = await valueOf(page, 'total_lx');
  const download = page.waitForEvent('download');
  await page.keyboard.press('Control+s');
  const path = await (await download).path();
  await expect(page.locator('.saved')).toContainText('saved to a file');

  page.on('dialog', (dialog) => void dialog.accept());
  await page.reload();
  await expect.poll(() => valueOf(page, 'total_lx')).toBe(before);
  const text = readFileSync(path);
  await page.locator('input[type=file]').setInputFiles({ name: 'kept.json', mimeType: 'application/json', buffer: text });
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(changed, 6);
});

test('a broken file is refused with every fault, and the scene stays', async ({ page }, info) => {
  await open(page, info.project.name);
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

test('a file that is no scene, dropped on the page, is refused in words', async ({ page }, info) => {
  await open(page, info.project.name);
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
