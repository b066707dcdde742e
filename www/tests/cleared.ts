// One tab for all tests of a worker that load the page themselves. Before each test it is as on a first visit, but its
// process still has the compiled module, so that the page loads in half the time of a new tab. Its settings are those of
// the project: `test.use` has no effect here.
import { test as base, type BrowserContext, type Page } from '@playwright/test';

/** Deletes everything that the page has stored in the tab and in the browser. */
async function clear(page: Page): Promise<void> {
  // A document of the same origin without scripts.
  await page.goto('./robots.txt');
  await page.evaluate(() => sessionStorage.clear());
  const session = await page.context().newCDPSession(page);
  await session.send('Storage.clearDataForOrigin', { origin: new URL(page.url()).origin, storageTypes: 'all' });
  await session.detach();
}

export const test = base.extend<object, { tab: { context: BrowserContext; page: Page | null } }>({
  tab: [
    async ({ browser }, use, { project }) => {
      const { baseURL, locale, serviceWorkers, deviceScaleFactor } = project.use;
      const context = await browser.newContext({
        ...(baseURL === undefined ? {} : { baseURL }),
        ...(locale === undefined ? {} : { locale }),
        ...(serviceWorkers === undefined ? {} : { serviceWorkers }),
        ...(deviceScaleFactor === undefined ? {} : { deviceScaleFactor }),
      });
      await use({ context, page: null });
      await context.close();
    },
    { scope: 'worker' },
  ],
  context: async ({ tab }, use) => use(tab.context),
  page: async ({ tab }, use, info) => {
    tab.page ??= await tab.context.newPage();
    const { page } = tab;
    await clear(page);
    await use(page);
    for (const other of tab.context.pages()) if (other !== page) await other.close();
    // What a failed test has changed is not known.
    if (info.status !== info.expectedStatus) await page.close();
    if (page.isClosed()) {
      tab.page = null;
    } else {
      page.removeAllListeners();
      await page.unrouteAll({ behavior: 'ignoreErrors' });
      await page.context().unrouteAll({ behavior: 'ignoreErrors' });
      await page.emulateMedia({
        media: null,
        contrast: null,
        forcedColors: null,
        reducedMotion: null,
        colorScheme: null,
      });
    }
  },
});
