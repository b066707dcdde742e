// Accessibility: axe at each size, in each scheme, with each panel open; contrast, keys, announcements.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect, type Page } from '@playwright/test';
import { choosePiece, ribbon, settled } from './page';
import { test } from './shown';
import { closeAll, SCREENS, SIZES, type Screen } from './screens';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
const SCHEMES = ['dark', 'grey'] as const;

interface Violation {
  id: string;
  help: string;
  nodes: string[];
}

/** Runs axe's default rules and the WCAG 2.2 rule that is off by default, or only some rules. */
async function violations(page: Page, off: string[] = [], only?: string[]): Promise<Violation[]> {
  // Evaluated through the debugger, since the page's policy allows only its own scripts.
  if (!(await page.evaluate(() => 'axe' in globalThis))) await page.evaluate(axe);
  return page.evaluate(
    async ([off, only]) => {
      const { axe } = globalThis as unknown as {
        axe: {
          run(options: object): Promise<{ violations: { id: string; help: string; nodes: { html: string }[] }[] }>;
        };
      };
      const rules = {
        'target-size': { enabled: true },
        ...Object.fromEntries(off.map((rule) => [rule, { enabled: false }])),
      };
      const { violations } = await axe.run(only === undefined ? { rules } : { runOnly: only });
      return violations.map(({ id, help, nodes }) => ({
        id,
        help,
        nodes: nodes.map((node) => node.html.slice(0, 200)),
      }));
    },
    [off, only] as const,
  );
}

/** What axe finds with each of these screens open, in each scheme; in the second, only what a scheme can change. */
async function findsNothing(page: Page, screens: readonly Screen[], where: string): Promise<void> {
  for (const screen of screens) {
    if (await screen.prepare(page)) {
      for (const scheme of SCHEMES) {
        await page.evaluate((value) => (document.documentElement.dataset['scheme'] = value), scheme);
        const only = scheme === 'dark' ? undefined : ['color-contrast'];
        expect.soft(await violations(page, [], only), `${screen.name}, ${where}, ${scheme}`).toEqual([]);
      }
    }
    await closeAll(page);
  }
}

const [large, ...others] = SIZES;
test(`axe finds nothing at ${large.width} × ${large.height} in either scheme, whatever is open`, async ({
  shown: page,
}) => {
  test.setTimeout(240_000);
  await page.setViewportSize(large);
  await findsNothing(page, SCREENS, 'large');
});

test('axe finds nothing at the other sizes in either scheme', async ({ shown: page }) => {
  test.setTimeout(240_000);
  // The sizes with a different layout.
  const anew = SCREENS.filter(({ name }) =>
    ['window', 'section', 'place-and-light-place', 'menu-more', 'keys'].includes(name),
  );
  expect(anew.length).toBe(5);
  for (const size of others) {
    await page.setViewportSize(size);
    await findsNothing(page, anew, `${size.width} × ${size.height}`);
  }
});

test('text has a contrast of 4.5 : 1 with every background in each scheme, control marks 3 : 1', async ({
  shown: page,
}) => {
  for (const contrast of ['no-preference', 'more'] as const) {
    await page.emulateMedia({ contrast });
    for (const scheme of SCHEMES) {
      const ratios = await page.evaluate((value) => {
        const root = document.documentElement;
        root.dataset['scheme'] = value;
        const probe = document.createElement('i');
        document.body.append(probe);
        /** Relative luminance by WCAG 2.2. */
        const luminance = (name: string): number => {
          probe.style.color = `var(${name})`;
          const colour = getComputedStyle(probe).color;
          const channels = (colour.match(/[\d.]+/g) ?? []).map(Number);
          if (new Set(channels).size !== 1) throw new Error(`${name} is ${colour}, not neutral`);
          const c = (channels[0] ?? NaN) / 255;
          return c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
        };
        const ratio = (a: string, b: string): number => {
          const [x, y] = [luminance(a), luminance(b)];
          return (Math.max(x, y) + 0.05) / (Math.min(x, y) + 0.05);
        };
        const pairs: [string, number][] = [];
        for (const ground of ['--ground', '--raised', '--hover']) {
          for (const letters of ['--text-strong', '--text', '--control', '--text-quiet']) {
            // Quiet text is never on a hovered background.
            if (ground === '--hover' && letters === '--text-quiet') continue;
            pairs.push([`${letters} on ${ground}: at least 4.5`, ratio(letters, ground) / 4.5]);
          }
          if (ground !== '--hover') pairs.push([`--line on ${ground}: at least 3`, ratio('--line', ground) / 3]);
        }
        const ground = luminance('--ground');
        return { pairs, lightness: 116 * Math.cbrt(ground) - 16 };
      }, scheme);
      const low = ratios.pairs.filter(([, share]) => !(share >= 1));
      expect(low, `${scheme}, contrast ${contrast}`).toEqual([]);
      if (scheme === 'grey' && contrast === 'no-preference') expect(Math.abs(ratios.lightness - 50)).toBeLessThan(0.5);
    }
  }
});

test('every surface, letter and line is neutral in each scheme', async ({ shown: page }) => {
  await choosePiece(page);
  for (const scheme of SCHEMES) {
    const coloured = await page.evaluate((value) => {
      document.documentElement.dataset['scheme'] = value;
      const neutral = (colour: string): boolean => {
        const [r, g, b] = (colour.match(/[\d.]+/g) ?? []).map(Number);
        return colour.startsWith('rgb') ? r === g && g === b : !colour.startsWith('color(');
      };
      const found: string[] = [];
      for (const element of document.querySelectorAll('body, body *')) {
        // Only light through glass has colour.
        if (element.closest('.light, canvas') !== null) continue;
        const style = getComputedStyle(element);
        for (const property of [
          'color',
          'backgroundColor',
          'borderTopColor',
          'outlineColor',
          'fill',
          'stroke',
          'accentColor',
        ] as const) {
          if (!neutral(style[property]))
            found.push(`${element.tagName} ${element.className} ${property} ${style[property]}`);
        }
      }
      return found;
    }, scheme);
    expect(coloured, scheme).toEqual([]);
  }
});

test('Tab goes through everything in reading order, with a visible focus', async ({ shown: page }) => {
  await page.setViewportSize({ width: 1440, height: 900 });
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  const stops: { what: string; ringed: boolean; inOrder: boolean; inView: boolean }[] = [];
  for (let i = 0; i < 60; i += 1) {
    await page.keyboard.press('Tab');
    const stop = await page.evaluate(() => {
      const at = document.activeElement;
      if (!(at instanceof HTMLElement || at instanceof SVGElement) || at === document.body) return null;
      const seen = globalThis as { before?: Element };
      const before = seen.before;
      seen.before = at;
      // A hidden radio button shows its focus ring on its label.
      const box = (at.closest('label') ?? at).getBoundingClientRect();
      return {
        what: `${at.tagName.toLowerCase()} ${at.getAttribute('aria-label') ?? at.textContent?.trim().slice(0, 30) ?? ''}`,
        inOrder: before === undefined || (before.compareDocumentPosition(at) & Node.DOCUMENT_POSITION_FOLLOWING) !== 0,
        inView: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
        box: { x: box.x, y: box.y, width: box.width, height: box.height },
      };
    });
    if (stop === null) break;
    const { box, ...rest } = stop;
    const clip = {
      x: Math.max(0, box.x - 8),
      y: Math.max(0, box.y - 8),
      width: box.width + 16,
      height: box.height + 16,
    };
    // Compared with and without the focus.
    const focused = await page.screenshot({ clip });
    const handle = await page.evaluateHandle(() => document.activeElement as HTMLElement);
    await handle.evaluate((element) => element.blur());
    const without = await page.screenshot({ clip });
    await handle.evaluate((element) => element.focus());
    stops.push({ ...rest, ringed: !focused.equals(without) });
  }
  expect(stops.length).toBeGreaterThan(10);
  expect(
    stops.filter((stop) => !stop.ringed).map((stop) => stop.what),
    'without a visible ring',
  ).toEqual([]);
  expect(
    stops.filter((stop) => !stop.inOrder).map((stop) => stop.what),
    'out of order',
  ).toEqual([]);
  expect(
    stops.filter((stop) => !stop.inView).map((stop) => stop.what),
    'out of view',
  ).toEqual([]);
});

test('a dialog takes the focus, keeps it, and gives it back', async ({ shown: page }) => {
  await page.setViewportSize({ width: 1440, height: 900 });
  const opener = page.getByRole('button', { name: 'More', exact: true });
  await opener.focus();
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: 'Display', exact: true }).focus();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('heading', { name: 'Display' })).toBeFocused();
  for (let i = 0; i < 12; i += 1) {
    await page.keyboard.press('Tab');
    // From its end the focus goes to the browser's own controls, never to the page behind.
    expect(
      await page.evaluate(
        () => document.activeElement === document.body || document.activeElement?.closest('dialog') !== null,
      ),
    ).toBe(true);
  }
  await page.keyboard.press('Escape');
  await expect(opener).toBeFocused();
});

test('the reading is announced once the hour has settled', async ({ shown: page }) => {
  const spoken = page.locator('.reading [aria-live=polite]');
  await expect(spoken).toHaveText(/^\d+ lux\. .+ of clear glass\.$/);
  const before = await spoken.innerText();
  await ribbon(page).focus();
  for (let i = 0; i < 8; i += 1) await page.keyboard.press('ArrowLeft');
  await settled(page);
  await expect(spoken).not.toHaveText(before);
});

test('Escape closes the last thing opened, wherever the focus is, and the focus goes back', async ({ shown: page }) => {
  const blur = (): Promise<void> => page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur());
  const menu = page.getByRole('button', { name: 'File', exact: true });
  const change = page.getByRole('button', { name: /Change place and light$/ });
  await change.focus();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('tab', { selected: true })).toBeFocused();
  await menu.click();
  await blur();
  await page.keyboard.press('Escape');
  await expect(menu).toHaveAttribute('aria-expanded', 'false');
  await expect(page.getByRole('heading', { name: 'Place and light' })).toBeVisible();
  await page.getByLabel('Latitude', { exact: true }).focus();
  await page.keyboard.press('Escape');
  await expect(page.getByRole('heading', { name: 'Place and light' })).toHaveCount(0);
  await expect(change).toBeFocused();

  const selected = page.locator('[role=option][aria-selected=true]');
  await choosePiece(page);
  await menu.click();
  await blur();
  await page.keyboard.press('Escape');
  await expect(menu).toHaveAttribute('aria-expanded', 'false');
  await expect(selected).toHaveCount(1);
  await page.keyboard.press('Escape');
  await expect(selected).toHaveCount(0);
});

test('animations stop if reduced motion is requested', async ({ shown: page }) => {
  await page.emulateMedia({ reducedMotion: 'reduce' });
  await page.setViewportSize({ width: 390, height: 844 });
  const moving = await page.evaluate(
    () =>
      [...document.querySelectorAll('*')].filter((element) => {
        const style = getComputedStyle(element);
        return (
          style.transitionDuration.split(', ').some((time) => parseFloat(time) > 0) || style.animationName !== 'none'
        );
      }).length,
  );
  expect(moving).toBe(0);
});

test('in forced colours the page keeps its lines, and the glass its colour', async ({ shown: page }) => {
  await page.emulateMedia({ forcedColors: 'active' });
  await choosePiece(page);
  // The colours and their contrast are the system's then.
  expect(await violations(page, ['color-contrast'])).toEqual([]);
  const swatch = page.locator('.reading .swatch.light').first();
  expect(await swatch.evaluate((element) => getComputedStyle(element).forcedColorAdjust)).toBe('none');
});

test('the list of keys names shortcuts of the page and of its controls', async ({ shown: page }) => {
  await page.keyboard.press('?');
  const keys = page.getByRole('dialog', { name: 'Keys' });
  const row = (key: string) => keys.getByText(key, { exact: true }).locator('xpath=following-sibling::dd[1]');
  await expect(row('Ctrl Z')).toHaveText('Undo');
  await expect(row('Ctrl S')).toHaveText('Save');
  await expect(row('Shift V')).toHaveText('Previous variant');
  await expect(row('G')).toHaveText('All of this glass');
  await expect(row('Shift and Left, Right')).toHaveText('a minute');
  // Every button with a shortcut has its row.
  const rows = (await keys.locator('dt').allInnerTexts()).join(', ').split(', ');
  const shortcuts = await page
    .locator('main [aria-keyshortcuts], header [aria-keyshortcuts]')
    .evaluateAll((all) => all.map((one) => one.getAttribute('aria-keyshortcuts') ?? ''));
  expect(shortcuts.length).toBeGreaterThan(4);
  for (const chord of shortcuts.flatMap((text) => text.split(' '))) {
    const words = chord.replace('Control', 'Ctrl').replace('plus', '+').replace(/-$/, '−').split('+').filter(Boolean);
    expect(rows, chord).toContain(words.length === 0 ? '+' : words.join(' '));
  }
});
