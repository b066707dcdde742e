// Offline use after one visit, from any folder; a new version asks before it takes over.
import { expect, test, type Page } from '@playwright/test';
import { measureLight, waitUntilLit } from './light';
import { dayIsReady, figure, minuteShown, openDemo, ribbon, settled, SMALL, valueOf } from './page';
import { StudioServer } from './server';

test.use({ serviceWorkers: 'allow', viewport: SMALL });

let server: StudioServer;
test.beforeEach(async () => {
  server = await StudioServer.start();
});
test.afterEach(async () => {
  await server.stop();
});

/** Waits until everything is stored: an active worker has fetched its complete list. */
async function isKept(page: Page): Promise<void> {
  await page.evaluate(async () => {
    const { active } = await navigator.serviceWorker.ready;
    if (active?.state === 'activated') return;
    await new Promise<void>((resolve) =>
      active?.addEventListener('statechange', () => active.state === 'activated' && resolve()),
    );
  });
}

async function visit(page: Page): Promise<void> {
  await page.goto(server.address);
  await waitUntilLit(page);
  await expect(figure(page, 'total_lx')).toBeVisible();
  await isKept(page);
}

const question = (page: Page) => page.getByText('A new version is ready.');
const version = (page: Page) => page.locator('html').getAttribute('data-version');

test('lit without a network after one visit, from a subfolder', async ({ page, context }) => {
  await visit(page);
  const before = await valueOf(page, 'total_lx');
  await server.stop();
  await context.setOffline(true);
  await page.reload();
  await waitUntilLit(page);
  const light = await measureLight(page, await page.screenshot());
  expect(light.bright).toBeGreaterThan(0.03);
  expect(light.coloured).toBeGreaterThan(0.005);
  expect(await valueOf(page, 'total_lx')).toBe(before);
  await dayIsReady(page);
  // Its fonts too, and the page says so.
  const letters = await page.evaluate(async () => (await document.fonts.load('400 32px Spectral')).length);
  expect(letters).toBe(1);
  // The same page with a query in its address.
  await page.goto(`${page.url()}?gpu=webgl2`);
  await waitUntilLit(page);
  await page.getByRole('button', { name: 'More', exact: true }).click();
  await page.getByRole('button', { name: 'Display', exact: true }).click();
  await expect(page.getByText('works without a network', { exact: false })).toBeVisible();
  await page.keyboard.press('Escape');
  await openDemo(page, 'small-rose');
  await expect(page).toHaveTitle(/rose/i);
});

test('a new version asks, waits if postponed, and takes over if accepted', async ({ page }) => {
  await visit(page);
  expect(await version(page)).toBe('1');
  server.version = 2;
  await page.reload();
  await expect(question(page)).toBeVisible();
  expect(await version(page), 'what is shown is still the old').toBe('1');
  await page.getByRole('button', { name: 'Later' }).click();
  await expect(question(page)).toBeHidden();
  await page.reload();
  expect(await version(page), 'later is later').toBe('1');
  await page.getByRole('button', { name: 'Update now' }).click();
  await expect(page.locator('html')).toHaveAttribute('data-version', '2');
  await waitUntilLit(page);
  await expect(question(page)).toBeHidden();
  await isKept(page);
  // From now on the new version is stored.
  await page.reload();
  expect(await version(page)).toBe('2');
});

test('another tab is told that it still shows the old version, and is not reloaded', async ({ page, context }) => {
  await visit(page);
  server.version = 2;
  await page.reload();
  await waitUntilLit(page);
  const other = await context.newPage();
  await other.setViewportSize(SMALL);
  await other.goto(server.address);
  await waitUntilLit(other);
  await expect(figure(other, 'total_lx')).toBeVisible();
  const start = await minuteShown(other);
  await ribbon(other).focus();
  await other.keyboard.press('ArrowLeft');
  await settled(other);

  await page.getByRole('button', { name: 'Update now' }).click();
  await expect(page.locator('html')).toHaveAttribute('data-version', '2');
  await expect(other.getByText('this tab still shows the old one')).toBeVisible();
  expect(await version(other)).toBe('1');
  expect(await minuteShown(other), 'what was done there stands').toBe(start - 15);
});

test('works if pages cannot be stored', async ({ page }) => {
  await page.addInitScript(() => {
    Reflect.deleteProperty(Navigator.prototype, 'serviceWorker');
  });
  await page.goto(server.address);
  await waitUntilLit(page);
  await expect(figure(page, 'total_lx')).toBeVisible();
  await page.getByRole('button', { name: 'More', exact: true }).click();
  await page.getByRole('button', { name: 'Display', exact: true }).click();
  await expect(page.getByText('This browser cannot store the page')).toBeVisible();
});

test('stays within its own folder, and can be installed', async ({ page, context }) => {
  const elsewhere: string[] = [];
  context.on('request', (request) => {
    if (!/^(data|blob):/.test(request.url()) && !request.url().startsWith(server.address))
      elsewhere.push(request.url());
  });
  await visit(page);
  expect(elsewhere).toEqual([]);
  // Requests of the worker itself may not show up above, but the server sees them.
  const { pathname } = new URL(server.address);
  expect(server.asked.filter((path) => !path.startsWith(pathname))).toEqual([]);
  expect(await page.evaluate(async () => (await navigator.serviceWorker.ready).scope)).toBe(server.address);

  const manifest = await page.evaluate(async () => {
    const { href } = document.querySelector<HTMLLinkElement>('link[rel=manifest]') ?? { href: '' };
    const { name, icons, start_url, scope, display } = await (await fetch(href)).json();
    const sizes = await Promise.all(
      (icons as { src: string; sizes: string }[]).map(async ({ src, sizes }) => {
        const picture = new Image();
        picture.src = new URL(src, href).href;
        await picture.decode();
        return sizes === 'any' || sizes === `${picture.naturalWidth}x${picture.naturalHeight}`;
      }),
    );
    return { name, display, start: new URL(start_url, href).href, scope: new URL(scope, href).href, sizes };
  });
  expect(manifest).toEqual({
    name: 'Clerestory',
    display: 'standalone',
    start: server.address,
    scope: server.address,
    sizes: [true, true, true, true],
  });
});
