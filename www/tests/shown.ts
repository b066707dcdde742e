// One page for all tests of a worker that need no page of their own: it is loaded once and reset before each.
import { test as base, type Page } from '@playwright/test';
import { dayIsReady, FIRST_DEMO, open, openDemo, settled, SMALL } from './page';
import { closeAll, nextFrame } from './screens';

/** Whether the scene, what is selected or what is seen of it is not as the page opens. */
async function isChanged(page: Page, name: string): Promise<boolean> {
  const changed = page.locator(
    [
      'button[aria-label^="Undo: "]',
      'button[aria-label^="Redo: "]',
      '[role=option][aria-selected=true]',
      'button[aria-pressed=true]',
      'button[aria-label="Zoom out"]:enabled',
    ].join(', '),
  );
  if ((await changed.count()) > 0 || (await page.title()) !== name) return true;
  return page
    .getByLabel('Viewing position', { exact: true })
    .evaluate((all: HTMLSelectElement) => all.selectedIndex > 0);
}

/** Makes the page again what it is when it opens. */
async function putBack(page: Page, name: string): Promise<void> {
  await page.emulateMedia({ contrast: null, forcedColors: null, reducedMotion: null });
  // A new window that was begun would be there when its dialog is opened again.
  const startOver = page.getByRole('button', { name: 'Start over' });
  if (await startOver.isVisible()) await startOver.click();
  await closeAll(page);
  await page.evaluate(() => (document.documentElement.dataset['scheme'] = 'dark'));
  const appearance = page.locator('.wall label').filter({ hasText: 'Appearance' });
  if (page.viewportSize()?.width !== SMALL.width || !(await appearance.getByRole('radio').isChecked())) {
    await page.setViewportSize(SMALL);
    await appearance.click();
  }
  if (await isChanged(page, name)) {
    const several = page.locator('button[aria-pressed=true]').getByText('Select several');
    if (await several.isVisible()) await several.click();
    await openDemo(page, FIRST_DEMO);
    await dayIsReady(page);
  }
  const close = page.locator('header .line button.close');
  if (await close.isVisible()) await close.click();
  // Without the line, or at another size, the wall is higher: the picture is drawn again.
  await nextFrame(page);
  await nextFrame(page);
  await settled(page);
  await page.mouse.move(0, 0);
}

export const test = base.extend<{ shown: Page }, { onePage: { page: Page; name: string } }>({
  onePage: [
    async ({ browser }, use, { project }) => {
      const { baseURL, locale, serviceWorkers, deviceScaleFactor } = project.use;
      const context = await browser.newContext({
        ...(baseURL === undefined ? {} : { baseURL }),
        ...(locale === undefined ? {} : { locale }),
        ...(deviceScaleFactor === undefined ? {} : { deviceScaleFactor }),
        ...(serviceWorkers === undefined ? {} : { serviceWorkers }),
      });
      const page = await context.newPage();
      await open(page);
      await dayIsReady(page);
      await use({ page, name: await page.title() });
      await context.close();
    },
    { scope: 'worker' },
  ],
  shown: async ({ onePage: { page, name } }, use) => {
    await putBack(page, name);
    await use(page);
  },
});
