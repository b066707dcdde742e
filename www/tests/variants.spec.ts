// Variants in the name line: shown, added, edited, renamed, deleted, applied to the scene.
import { expect, type Page } from '@playwright/test';
import { choosePiece, figure, open, valueOf } from './page';
import { test } from './shown';

const opener = (page: Page) => page.getByRole('button', { name: /^Variant: / });

async function act(page: Page, name: string): Promise<void> {
  await page.getByRole('button', { name, exact: true }).click();
}

test('a variant is added, changed and compared, and the scene as drawn stays', async ({ page }) => {
  await open(page);
  const drawn = await valueOf(page, 'total_lx');
  await opener(page).click();
  await act(page, 'New variant from what is shown');
  await page.getByLabel('Name of the new variant').fill('Thick');
  await page.keyboard.press('Enter');
  await expect(opener(page)).toHaveAccessibleName('Variant: Thick');
  // The form is gone; the focus is not.
  await expect(page.getByRole('button', { name: 'New variant from what is shown' })).toBeFocused();
  await page.keyboard.press('Escape');
  await choosePiece(page);
  await page.getByLabel('Thickness', { exact: true }).fill('9');
  await page.keyboard.press('Enter');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(drawn);
  const thick = await valueOf(page, 'total_lx');
  await opener(page).focus();
  // The scene as drawn comes after the last variant.
  await page.keyboard.press('v');
  await expect(opener(page)).toHaveAccessibleName('Variant: scene as drawn');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(drawn, 6);
  await page.keyboard.press('Shift+V');
  await expect(opener(page)).toHaveAccessibleName('Variant: Thick');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(thick, 6);
  // Undo while something else is shown undoes the edit in its variant.
  await page.keyboard.press('v');
  await page.getByRole('button', { name: /^Undo: thickness of piece/ }).click();
  await expect(opener(page)).toHaveAccessibleName('Variant: Thick');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(drawn, 6);
  await page.getByRole('button', { name: /^Redo: thickness of piece/ }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(thick, 6);
  // A reload shows it again.
  await expect(page.locator('.saved')).toContainText('kept in this browser');
  await page.waitForTimeout(200);
  await page.reload();
  await expect(opener(page)).toHaveAccessibleName('Variant: Thick');
  await expect(figure(page, 'total_lx')).toBeVisible();
  expect(await valueOf(page, 'total_lx')).toBeCloseTo(thick, 6);
});

test('a variant is renamed, noted and applied to the scene, and all of it undone', async ({ shown: page }) => {
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
  await act(page, 'Apply to the scene as drawn');
  await expect(opener(page)).toHaveAccessibleName('Variant: scene as drawn');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(varied, 6);
  for (let i = 0; i < 3; i += 1) await page.keyboard.press('Control+z');
  await expect(opener(page)).toHaveAccessibleName('Variant: Unpainted');
  await page.keyboard.press('Shift+V');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(drawn, 6);
});

test('a name that is taken is refused with a message', async ({ shown: page }) => {
  await opener(page).click();
  await act(page, 'New variant from what is shown');
  await page.getByLabel('Name of the new variant').fill('Unpainted');
  await page.keyboard.press('Enter');
  await expect(page.getByRole('dialog')).toContainText('a name that no other variant has');
});

test('the scene is renamed in place', async ({ shown: page }) => {
  const heading = page.getByRole('heading', { level: 1 });
  const before = await heading.innerText();
  await heading.getByRole('button').click();
  await page.getByLabel('Name of the scene').fill('South light');
  await page.keyboard.press('Enter');
  await expect(heading).toHaveText('South light');
  await page.getByRole('button', { name: 'Undo: name of the scene' }).click();
  await expect(heading).toHaveText(before);
});
