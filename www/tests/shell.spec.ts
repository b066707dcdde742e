// The page itself: no other origin, no evaluated text, its own fonts, no errors.
import { expect } from '@playwright/test';
import { test } from './shown';

test('loads from its own origin without errors', { tag: '@picture' }, async ({ page, baseURL }) => {
  const faults: string[] = [];
  const elsewhere: string[] = [];
  page.on('pageerror', (error) => faults.push(String(error)));
  page.on('console', (message) => {
    if (message.type() === 'error') faults.push(message.text());
  });
  page.on('request', (request) => {
    if (!/^(data|blob):/.test(request.url()) && !request.url().startsWith(baseURL ?? '')) {
      elsewhere.push(request.url());
    }
  });
  await page.goto('./', { waitUntil: 'networkidle' });
  await expect(page.locator('#page')).not.toBeEmpty();
  expect(faults).toEqual([]);
  expect(elsewhere).toEqual([]);
});

test('has its two font families without a network', async ({ shown: page }) => {
  const loaded = await page.evaluate(async () => {
    await Promise.all([
      document.fonts.load('400 32px Spectral'),
      document.fonts.load('400 16px "Atkinson Hyperlegible Next"'),
    ]);
    return [...document.fonts].filter((face) => face.status === 'loaded').map((face) => face.family);
  });
  expect(loaded.join()).toContain('Spectral');
  expect(loaded.join()).toContain('Atkinson Hyperlegible Next');
});

test('may not evaluate text', async ({ shown: page }) => {
  // A script element's source runs under the page's policy; what `page.evaluate` runs does not.
  const refused = await page.evaluate(
    () =>
      new Promise<string>((resolve) => {
        document.addEventListener('securitypolicyviolation', (event) => resolve(event.effectiveDirective));
        const script = document.createElement('script');
        script.textContent = 'document.title = "evaluated"';
        document.head.append(script);
        setTimeout(() => resolve('nothing was refused'), 2000);
      }),
  );
  expect(refused).toBe('script-src-elem');
  expect(await page.title()).not.toBe('evaluated');
});

test('a screen has its own address, and other parts of the address are kept', async ({ page }) => {
  await page.goto('./?scene=small-rose#/window');
  await expect(page.getByRole('region', { name: 'The window' })).toBeVisible();
  const heading = page.getByRole('heading', { level: 1 });
  await expect(heading).not.toHaveText('Clerestory');
  const name = await heading.innerText();
  // An address that names no screen shows the first one; Back and Forward reload nothing.
  await page.evaluate(() => ((globalThis as { same?: boolean }).same = true));
  await page.evaluate(() => (location.hash = '#/attic'));
  await expect(page.getByRole('region', { name: 'The window' })).toBeVisible();
  await page.goBack();
  expect(new URL(page.url()).hash).toBe('#/window');
  await expect(heading).toHaveText(name);
  expect(await page.evaluate(() => (globalThis as { same?: boolean }).same)).toBe(true);
  // With a single screen there is no navigation.
  await expect(page.getByRole('navigation')).toHaveCount(0);
});
