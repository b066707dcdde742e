// Display settings: background, units, and numbers in the reader's language.
import { expect, test, type Page } from '@playwright/test';
import { choosePiece, open } from './page';

async function openDisplay(page: Page): Promise<void> {
  const more = page.getByRole('button', { name: 'More', exact: true });
  if (await more.isVisible()) await more.click();
  await page.getByRole('button', { name: 'Display', exact: true }).click();
}

const ground = (page: Page): Promise<string> => page.evaluate(() => getComputedStyle(document.body).backgroundColor);

test('the background is changed, stored, and set before anything is painted', async ({ page }) => {
  await open(page);
  const dark = await ground(page);
  await openDisplay(page);
  await page.getByRole('radio', { name: /Mid-grey/ }).check();
  const grey = await ground(page);
  expect(grey).not.toBe(dark);
  expect(await page.locator('meta[name=theme-color]').getAttribute('content')).toBe('#767676');

  // The page's own module never loads: only the small script before it sets what is painted.
  await page.route(/\/assets\/index-[^/]*\.js/, (route) => route.abort());
  await page.reload();
  expect(await ground(page)).toBe(grey);
  await page.unroute(/\/assets\/index-[^/]*\.js/);
  await page.reload();
  await openDisplay(page);
  await expect(page.getByRole('radio', { name: /Mid-grey/ })).toBeChecked();
  await page.getByRole('radio', { name: /^Dark/ }).check();
  expect(await ground(page)).toBe(dark);
});

test('invalid stored preferences are ignored', async ({ page }) => {
  await page.addInitScript(() => localStorage.setItem('clerestory.preferences', '{"scheme": 7, "units": ["feet"'));
  await open(page);
  await openDisplay(page);
  await expect(page.getByRole('radio', { name: /^Dark/ })).toBeChecked();
});

test('lengths change their units in place, and fields take either', async ({ page }) => {
  await open(page);
  const size = page.locator('.size');
  await expect(size).toContainText(/\d mm/);
  await choosePiece(page);
  const thickness = page.getByLabel('Thickness', { exact: true });
  const metric = Number(await thickness.inputValue());
  await openDisplay(page);
  await page.getByRole('radio', { name: /^Feet and inches/ }).check();
  await page.keyboard.press('Escape');
  await expect(size).toContainText(/ in,/);
  expect(Number(await thickness.inputValue()) * 25.4).toBeCloseTo(metric, 1);
  await thickness.fill('1/8');
  await page.keyboard.press('Enter');
  await expect(thickness).toHaveValue('0.125');
  await thickness.fill('3,5 mm');
  await page.keyboard.press('Enter');
  await expect(thickness).toHaveValue('0.138');
  // A step of the keys is round in the displayed unit.
  await thickness.press('ArrowUp');
  await expect(thickness).toHaveValue('0.145');
});

test.describe('in the United States', () => {
  test.use({ locale: 'en-US' });
  test('lengths are in feet and inches from the start', async ({ page }) => {
    await open(page);
    await expect(page.locator('.size')).toContainText(/ in,/);
    await expect(page.locator('section.reading')).toContainText(/Eye \d+ ft/);
    // Month first, in the field and in the sentence.
    await expect(page.getByLabel('Date', { exact: true })).toHaveValue(/^[A-Z][a-z]+ \d+, \d{4}$/);
    await expect(page.locator('.sentence')).toContainText(/, [A-Z][a-z]+ \d+/);
  });
});

test.describe('in Germany', () => {
  test.use({ locale: 'de-DE' });
  test('numbers have a decimal comma and are accepted with comma or point', async ({ page }) => {
    await open(page);
    await expect(page.locator('.size')).toContainText(/\d mm/);
    await expect(page.locator('section.reading')).toContainText(/Eye \d,\d+ m up/);
    // Dates are English like the sentences that they stand in, with the day first.
    await expect(page.getByLabel('Date', { exact: true })).toHaveValue(/^\d+ [A-Z][a-z]+ \d{4}$/);
    await expect(page.locator('.sentence')).toContainText(/, \d+ [A-Z][a-z]+/);
    await choosePiece(page);
    const thickness = page.getByLabel('Thickness', { exact: true });
    for (const [typed, shown] of [
      ['3,3', '3,3'],
      ['3.4', '3,4'],
      ['1/8 in', '3,18'],
    ] as const) {
      await thickness.fill(typed);
      await page.keyboard.press('Enter');
      await expect(thickness).toHaveValue(shown);
    }
  });
});
