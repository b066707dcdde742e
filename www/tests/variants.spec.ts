// Variants in the name line: shown, made, edited, named, taken out, made the scene.
import { expect, type Page } from '@playwright/test';
import { choosePiece, figure, kept, open, valueOf } from './page';
import { test } from './shown';

const opener = (page: Page) => page.getByRole('button', { name: /^Variant: / });

async function act(page: Page, name: string): Promise<void> {
  await page.getByRole('button', { name, exact: true }).click();
}

test('a variant is made, changed and compared, and the scene as drawn stays', async ({ page }) => {
  await open(page);
  const drawn = await valueOf(page, 'total_lx');
  await opener(page).click();
  await act(page, 'New variant from what is shown');
  await page.getByLabel('Name of the new variant').fill('Thick');
  await page.keyboard.press('Enter');
  await expect(opener(page)).toHaveAccessibleName('Variant: Thick');
  await page.keyboard.press('Escape');
  await choosePiece(page);
  await page.getByLabel('Thickness', { exact: true }).fill('9');
  await page.keyboard.press('Enter');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(drawn);
  const thick = await valueOf(page, 'total_lx');
  await opener(page).focus();
  // Round the list: the scene as drawn comes after the last.
  await page.keyboard.press('v');
  await expect(opener(page)).toHaveAccessibleName('Variant: scene as drawn');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(drawn, 6);
  await page.keyboard.press('Shift+V');
  await expect(opener(page)).toHaveAccessibleName('Variant: Thick');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(thick, 6);
  // Undone from elsewhere, the edit is taken back where it was made.
  await page.keyboard.press('v');
  await page.getByRole('button', { name: /^Undo: thickness of piece/ }).click();
  await expect(opener(page)).toHaveAccessibleName('Variant: Thick');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(drawn, 6);
  await page.getByRole('button', { name: /^Redo: thickness of piece/ }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(thick, 6);
  // A reload shows it again.
  await expect(kept(page)).toContainText('kept in this browser');
  await page.waitForTimeout(200);
  await page.reload();
  await expect(opener(page)).toHaveAccessibleName('Variant: Thick');
  await expect(figure(page, 'total_lx')).toBeVisible();
  expect(await valueOf(page, 'total_lx')).toBeCloseTo(thick, 6);
});

test('a variant is named anew, noted, made the scene, and all of it undone', async ({ shown: page }) => {
  const drawn = await valueOf(page, 'total_lx');
  await page.keyboard.press('v');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(drawn);
  const varied = await valueOf(page, 'total_lx');
  await opener(page).click();
  await act(page, 'Rename');
  await page.getByLabel('New name').fill('Without paint');
  await page.keyboard.press('Enter');
  await expect(opener(page)).toHaveAccessibleName('Variant: Without paint');
  await act(page, 'Edit the note');
  await page.getByLabel('Note', { exact: true }).fill('For the north wall');
  await page.keyboard.press('Enter');
  await expect(page.getByText('For the north wall')).toBeVisible();
  await act(page, 'Make this the scene');
  await expect(opener(page)).toHaveAccessibleName('Variant: scene as drawn');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(varied, 6);
  for (let i = 0; i < 3; i += 1) await page.keyboard.press('Control+z');
  await expect(opener(page)).toHaveAccessibleName('Variant: Unpainted');
  await page.keyboard.press('Shift+V');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(drawn, 6);
});

test('a name that is taken is refused in words', async ({ shown: page }) => {
  await opener(page).click();
  await act(page, 'New variant from what is shown');
  await page.getByLabel('Name of the new variant').fill('Unpainted');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('dialog')).toContainText('a name that no other variant has');
});

test('the scene is named anew in place', async ({ shown: page }) => {
  const heading = page.getByRole('heading', { level: 1 });
  const before = await heading.innerText();
  await heading.getByRole('button').click();
  await page.getByLabel('Name of the scene').fill('South light');
  await page.keyboard.press('Enter');
  await expect(heading).toHaveText('South light');
  await page.getByRole('button', { name: 'Undo: name of the scene' }).click();
  await expect(heading).toHaveText(before);
});
