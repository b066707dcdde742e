// For everybody: what axe finds, at each size, with each thing open.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect, test, type Page } from '@playwright/test';
import { choosePiece, dayIsReady, open } from './page';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

interface Violation {
  id: string;
  help: string;
  nodes: string[];
}

async function violations(page: Page): Promise<Violation[]> {
  // Evaluated through the debugger: the page's own policy allows no script but its own.
  await page.evaluate(axe);
  return page.evaluate(async () => {
    const { axe } = globalThis as unknown as {
      axe: { run(): Promise<{ violations: { id: string; help: string; nodes: { html: string }[] }[] }> };
    };
    const { violations } = await axe.run();
    return violations.map(({ id, help, nodes }) => ({ id, help, nodes: nodes.map((node) => node.html.slice(0, 200)) }));
  });
}

test('axe finds nothing: reading, section, list of glasses, dialogs', async ({ page }, info) => {
  await open(page, info.project.name);
  await dayIsReady(page);
  expect(await violations(page)).toEqual([]);
  await choosePiece(page);
  expect(await violations(page)).toEqual([]);
  await page.getByRole('button', { name: /, change$/ }).click();
  expect(await violations(page)).toEqual([]);
  await page.keyboard.press('Escape');
  await page.keyboard.press('?');
  await expect(page.getByRole('dialog', { name: 'Keys' })).toBeVisible();
  expect(await violations(page)).toEqual([]);
});

test('axe finds nothing on a small screen', async ({ page }, info) => {
  await open(page, info.project.name);
  await page.setViewportSize({ width: 390, height: 700 });
  await page.getByRole('button', { name: 'More', exact: true }).click();
  await page.getByRole('button', { name: 'Raise the figures' }).click();
  expect(await violations(page)).toEqual([]);
});

test('every surface, letter and line is neutral', async ({ page }, info) => {
  await open(page, info.project.name);
  await choosePiece(page);
  const coloured = await page.evaluate(() => {
    const neutral = (colour: string): boolean => {
      const [r, g, b] = (colour.match(/[\d.]+/g) ?? []).map(Number);
      return colour.startsWith('rgb') ? r === g && g === b : !colour.startsWith('color(');
    };
    const found: string[] = [];
    for (const element of document.querySelectorAll('body, body *')) {
      // Light through glass is the one thing that has colour.
      if (element.closest('.light, canvas') !== null) continue;
      const style = getComputedStyle(element);
      for (const property of ['color', 'backgroundColor', 'borderTopColor', 'outlineColor', 'fill', 'stroke', 'accentColor'] as const) {
        if (!neutral(style[property])) found.push(`${element.tagName} ${element.className} ${property} ${style[property]}`);
      }
    }
    return found;
  });
  expect(coloured).toEqual([]);
});
