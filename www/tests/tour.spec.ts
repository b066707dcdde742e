// A tour of the whole page: it violates no policy of its own, makes no requests to other origins, and causes no errors.
import { expect, test } from '@playwright/test';
import { choosePiece, dayIsReady, open, ribbon, settled } from './page';
import { closeAll, SCREENS } from './screens';

interface Refused {
  refused: string[];
}

test(
  'a tour of everything violates no policy and makes no requests elsewhere',
  { tag: '@webgl2' },
  async ({ page, baseURL }) => {
    test.setTimeout(240_000);
    const faults: string[] = [];
    const elsewhere: string[] = [];
    page.on('pageerror', (error) => faults.push(String(error)));
    page.on('console', (message) => {
      if (message.type() === 'error') faults.push(message.text());
    });
    page.on('request', (request) => {
      if (!/^(data|blob):/.test(request.url()) && !request.url().startsWith(baseURL ?? ''))
        elsewhere.push(request.url());
    });
    await page.addInitScript(() => {
      const seen = globalThis as unknown as Refused;
      seen.refused = [];
      document.addEventListener('securitypolicyviolation', (event) => {
        seen.refused.push(`${event.effectiveDirective}: ${event.blockedURI} ${event.sourceFile}:${event.lineNumber}`);
      });
    });

    await open(page);
    await dayIsReady(page);
    await page.setViewportSize({ width: 1100, height: 700 });
    for (const screen of SCREENS) {
      await screen.prepare(page);
      await closeAll(page);
    }
    await ribbon(page).focus();
    await page.keyboard.press('Home');
    await page.keyboard.press('ArrowRight');
    await settled(page);
    await choosePiece(page);
    await page.getByLabel('Thickness', { exact: true }).fill('4');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Control+z');
    const saved = page.waitForEvent('download');
    await page.keyboard.press('Control+s');
    await saved;

    expect(await page.evaluate(() => (globalThis as unknown as Refused).refused)).toEqual([]);
    expect(elsewhere).toEqual([]);
    expect(faults).toEqual([]);
  },
);

test('third-party notices are served with the page', { tag: '@webgl2' }, async ({ page, context, baseURL }) => {
  await open(page);
  await page.keyboard.press('?');
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: 'More', exact: true }).click();
  await page.getByRole('button', { name: 'About these figures', exact: true }).click();
  const opened = context.waitForEvent('page');
  await page.getByRole('link', { name: /Software and data by others/ }).click();
  const notices = await opened;
  await notices.waitForLoadState();
  expect(notices.url()).toBe(`${baseURL}third-party.txt`);
  const text = await notices.locator('body').innerText();
  expect(text).toContain('Third-party notices of the Clerestory page');
  for (const work of ['wgpu ', 'svelte ', 'workbox-core ', 'Spectral', 'CC BY-SA 4.0']) expect(text).toContain(work);
});
