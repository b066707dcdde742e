// The printed sheet: black on white, with the picture, the reading, where and when it holds, and the cautions.
import { expect, type Page } from '@playwright/test';
import { NEVER_AT_THE_SUN } from '../src/state/cautions';
import { test as alone } from './cleared';
import { addToGlue, figure, open, ribbon, settled } from './page';
import { test } from './shown';

/** As the browser does around printing. */
const tell = (page: Page, what: 'beforeprint' | 'afterprint'): Promise<boolean> =>
  page.evaluate((name) => window.dispatchEvent(new Event(name)), what);

test(
  'a printed page shows window and figures black on white, and no controls',
  { tag: '@picture' },
  async ({ shown: page }) => {
    await settled(page);
    // Whatever is open stays on the screen.
    await page.getByRole('button', { name: 'More', exact: true }).click();
    await page.getByRole('button', { name: 'Keys', exact: true }).click();
    const [name, lux] = [await page.title(), await figure(page, 'total_lx').textContent()];
    const sheet = page.locator('.printed');
    await expect(sheet).toHaveCount(0);
    await tell(page, 'beforeprint');
    await page.emulateMedia({ media: 'print' });
    await expect(sheet.getByRole('heading', { level: 1 })).toHaveText(name.replace(/ – Clerestory$/, ''));
    await expect(sheet).toContainText(`${lux} lx`);
    await expect(sheet).toContainText(/Seen from: .+ \d\d:\d\d, \d+ \w+ \d{4}, Europe\/London\. Clear sky/);
    await expect(sheet).toContainText('Of clear glass');
    await expect(sheet.getByRole('heading', { name: 'What stands outside' })).toBeVisible();
    await expect(sheet).toContainText('Skyline up to 3° high');
    await expect(sheet).toContainText('prove nothing to an authority');
    await expect(sheet).toContainText(NEVER_AT_THE_SUN);
    await expect(sheet.getByRole('figure')).toHaveText(/^\s*\d+ × \d+ mm, \d+ pieces\s*$/);
    await expect(page.locator('button:visible, input:visible, select:visible, dialog:visible')).toHaveCount(0);
    expect(await page.evaluate(() => getComputedStyle(document.body).backgroundColor)).toBe('rgb(255, 255, 255)');
    const colours = await sheet
      .locator('*')
      .evaluateAll((all) => [...new Set(all.map((one) => getComputedStyle(one).color))]);
    for (const colour of colours) expect(Number(/\d+/.exec(colour)?.[0]), colour).toBeLessThan(0x60);
    // The picture is the window's, in its colours.
    const saturated = await sheet.locator('canvas').evaluate((canvas: HTMLCanvasElement) => {
      const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
      let count = 0;
      for (let i = 0; i < data.length; i += 4) {
        const rgb = [...data.slice(i, i + 3)];
        if (Math.max(...rgb) - Math.min(...rgb) > 30) count += 1;
      }
      return count / (data.length / 4);
    });
    expect(saturated, 'share of coloured pixels').toBeGreaterThan(0.2);
    await page.emulateMedia({ media: null });
    await tell(page, 'afterprint');
    await expect(sheet).toHaveCount(0);
    await page.keyboard.press('Escape');
  },
);

test('a window that is zoomed in is printed as a part', async ({ shown: page }) => {
  // The zoom is there at once.
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await settled(page);
  const sheet = page.locator('.printed');
  const pieces = page.getByRole('listbox', { name: /Pieces of the window/ });
  await pieces.focus();
  for (let presses = 0; presses < 4; presses += 1) await page.keyboard.press('+');
  await settled(page);
  await tell(page, 'beforeprint');
  await page.emulateMedia({ media: 'print' });
  await expect(sheet.getByRole('figure')).toHaveText(
    /^\s*Part of the window; the whole is\s+\d+ × \d+ mm, \d+ pieces\s*$/,
  );
  await page.emulateMedia({ media: null, reducedMotion: 'reduce' });
  await tell(page, 'afterprint');
  await pieces.focus();
  await page.keyboard.press('0');
  await settled(page);
  await tell(page, 'beforeprint');
  await page.emulateMedia({ media: 'print' });
  await expect(sheet.getByRole('figure')).toHaveText(/^\s*\d+ × \d+ mm, \d+ pieces\s*$/);
  await page.emulateMedia({ media: null });
  await tell(page, 'afterprint');
});

alone('the figures of one hour are never printed under another', async ({ page }) => {
  await addToGlue(
    page,
    () => `{
    const { report } = Figures.prototype;
    let first;
    Figures.prototype.report = function (at, place) {
      if (at === (first ??= at)) return report.call(this, at, place);
      throw new Error(JSON.stringify({ faults: [{ path: '', expected: 'an hour', found: 'none' }] }));
    };
  }`,
  );
  await open(page);
  await settled(page);
  const lux = await figure(page, 'total_lx').textContent();
  await ribbon(page).focus();
  await page.keyboard.press('PageUp');
  await expect(page.getByText('There are no figures for this hour and place.')).toBeVisible();
  await tell(page, 'beforeprint');
  await page.emulateMedia({ media: 'print' });
  const sheet = page.locator('.printed');
  await expect(sheet).toContainText('There are no figures for this hour and place.');
  await expect(sheet).toContainText('Expected an hour, found none');
  await expect(sheet).not.toContainText(`${lux} lx`);
  await expect(sheet).not.toContainText('Of clear glass');
});

test('the page’s own command prints the whole window, and shows the part again', async ({ shown: page }) => {
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await settled(page);
  const pieces = page.getByRole('listbox', { name: /Pieces of the window/ });
  await pieces.focus();
  for (let presses = 0; presses < 4; presses += 1) await page.keyboard.press('+');
  await settled(page);
  const whole = page.getByRole('button', { name: /fit/i });
  await expect(whole).toBeEnabled();
  await page.evaluate(() => {
    window.print = () => {
      window.dispatchEvent(new Event('beforeprint'));
      document.documentElement.dataset['printed'] = document.querySelector('.printed figure')?.textContent.trim();
      window.dispatchEvent(new Event('afterprint'));
    };
  });
  await page.keyboard.press('ControlOrMeta+p');
  await expect(page.locator('html')).toHaveAttribute('data-printed', /^\d+ × \d+ mm, \d+ pieces$/);
  await expect(whole).toBeEnabled();
  await pieces.focus();
  await page.keyboard.press('0');
  await page.emulateMedia({ reducedMotion: null });
});
