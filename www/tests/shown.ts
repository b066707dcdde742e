// One page for all tests of a worker that do not change the scene: it is loaded once and reset before each.
import { test as base, type Page } from '@playwright/test';
import { dayIsReady, open, SMALL } from './page';
import { closeAll } from './screens';

export const test = base.extend<{ shown: Page }, { onePage: Page }>({
  onePage: [
    async ({ browser }, use, { project }) => {
      const { baseURL, locale, serviceWorkers } = project.use;
      const context = await browser.newContext({
        ...(baseURL === undefined ? {} : { baseURL }),
        ...(locale === undefined ? {} : { locale }),
        ...(serviceWorkers === undefined ? {} : { serviceWorkers }),
      });
      const page = await context.newPage();
      await open(page);
      await dayIsReady(page);
      await use(page);
      await context.close();
    },
    { scope: 'worker' },
  ],
  shown: async ({ onePage: page }, use) => {
    await page.setViewportSize(SMALL);
    await use(page);
    await page.emulateMedia({ contrast: null, forcedColors: null, reducedMotion: null });
    await closeAll(page);
    await page.evaluate(() => (document.documentElement.dataset['scheme'] = 'dark'));
  },
});
