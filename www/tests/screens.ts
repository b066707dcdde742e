// Everything that can be opened on the page, once: for the screenshots of `cargo xtask look`, for axe, and for the tour
// that watches the page's policy. A new panel or dialog gets a line here, and all three include it from then on.
import { readFileSync } from 'node:fs';
import { expect, type Page } from '@playwright/test';
import { choosePiece } from './page';

export interface Screen {
  /** Also the name of its screenshots. */
  name: string;
  /** Opens it from the initial page. `false` if it does not exist at this size. */
  prepare(page: Page): Promise<boolean>;
}

export const SIZES = [
  { width: 1440, height: 900 },
  { width: 1024, height: 768 },
  { width: 390, height: 844 },
  { width: 3840, height: 2160 },
] as const;

async function chooseInMenu(page: Page, name: string): Promise<void> {
  await page.getByRole('button', { name: 'More', exact: true }).click();
  await page.getByRole('button', { name, exact: true }).click();
}

const dialog = (opener: string, name: string): Screen => ({
  name: opener.toLowerCase().replaceAll(' ', '-'),
  prepare: async (page) => {
    await chooseInMenu(page, opener);
    await expect(page.getByRole('dialog', { name })).toBeVisible();
    return true;
  },
});

export const SCREENS: readonly Screen[] = [
  { name: 'window', prepare: async () => true },
  {
    name: 'more-figures',
    prepare: async (page) => {
      await raiseFigures(page);
      await page.getByText('More figures', { exact: true }).click();
      return true;
    },
  },
  {
    name: 'section',
    prepare: async (page) => {
      await choosePiece(page);
      return true;
    },
  },
  {
    name: 'glass-list',
    prepare: async (page) => {
      await choosePiece(page);
      await page
        .getByRole('button', { name: /, change$/ })
        .first()
        .click();
      return true;
    },
  },
  {
    name: 'wrong-number',
    prepare: async (page) => {
      await choosePiece(page);
      await page.getByLabel('Thickness', { exact: true }).fill('thick');
      await page.keyboard.press('Enter');
      await expect(page.getByRole('alert')).toBeVisible();
      return true;
    },
  },
  {
    name: 'lines',
    prepare: async (page) => {
      await chooseInMenu(page, 'Check the drawing');
      await expect(page.getByRole('region', { name: 'The drawing' }).getByRole('status')).toContainText('Nothing');
      return true;
    },
  },
  {
    name: 'add-layer',
    prepare: async (page) => {
      await choosePiece(page);
      await page.getByRole('button', { name: 'Add a layer', exact: true }).click();
      return true;
    },
  },
  ...['Place', 'Sky', 'Position', 'Room'].map((tab): Screen => ({
    name: `place-and-light-${tab.toLowerCase()}`,
    prepare: async (page) => {
      await raiseFigures(page);
      await page.getByRole('button', { name: /Change place and light$/ }).click();
      await page.getByRole('tab', { name: tab }).click();
      return true;
    },
  })),
  ...['File', 'More', /^Variant: /].map((opener): Screen => ({
    name: `menu-${typeof opener === 'string' ? opener.toLowerCase() : 'variant'}`,
    prepare: async (page) => {
      await page.getByRole('button', { name: opener, exact: true }).click();
      return true;
    },
  })),
  {
    name: 'picture',
    prepare: async (page) => {
      await page.getByRole('button', { name: /picture options/ }).click();
      return true;
    },
  },
  {
    name: 'save-picture',
    prepare: async (page) => {
      await page.getByRole('button', { name: /picture options/ }).click();
      await page.getByRole('button', { name: /^Save picture/ }).click();
      await expect(page.getByRole('dialog', { name: 'Save the picture' })).toBeVisible();
      return true;
    },
  },
  {
    name: 'year',
    prepare: async (page) => {
      const year = page.getByRole('button', { name: 'Show the year', exact: true });
      if ((await year.count()) === 0) return false;
      await year.first().click();
      return true;
    },
  },
  dialog('Display', 'Display'),
  dialog('Keys', 'Keys'),
  dialog('About these figures', 'About these figures'),
  {
    name: 'attachments',
    prepare: async (page) => {
      await page.getByRole('button', { name: 'File', exact: true }).click();
      await page.getByRole('button', { name: /^Attachments/ }).click();
      const buffer = Buffer.from('380,0.91\n385,0.92\n');
      await page
        .locator('input[aria-label="Files to attach"]')
        .setInputFiles({ name: 'old blue.csv', mimeType: 'text/csv', buffer });
      await expect(page.getByRole('dialog', { name: 'Attachments' }).getByRole('listitem')).toHaveCount(1);
      return true;
    },
  },
  {
    name: 'new-window',
    prepare: async (page) => {
      await page.getByRole('button', { name: 'File', exact: true }).click();
      await page.getByRole('button', { name: /^New window/ }).click();
      const buffer = readFileSync(new URL('drawing.svg', import.meta.url));
      await page
        .locator('input[aria-label="Drawing of the window"]')
        .setInputFiles({ name: 'north aisle.svg', mimeType: 'image/svg+xml', buffer });
      await expect(page.getByText('600 × 1200 mm, 11 pieces')).toBeVisible();
      return true;
    },
  },
  {
    name: 'new-opening',
    prepare: async (page) => {
      await page.getByRole('button', { name: 'File', exact: true }).click();
      await page.getByRole('button', { name: /^New window/ }).click();
      await startOver(page);
      await page.getByRole('button', { name: 'Enter measurements …' }).click();
      await page.getByRole('radio', { name: 'Pointed' }).check();
      // Too low for its head.
      const height = page.getByRole('textbox', { name: 'Height', exact: true });
      await height.fill('500');
      await height.press('Enter');
      // What is wrong is said at the field, and moves what is below it.
      await expect(page.getByText('Not possible yet.')).toBeVisible();
      await page.getByRole('checkbox', { name: 'Border all round' }).check();
      return true;
    },
  },
  {
    name: 'broken-file',
    prepare: async (page) => {
      const buffer = Buffer.from('{ "format": 1, "name": 7, "site": "a hill" }');
      await page
        .locator('input[type=file]')
        .first()
        .setInputFiles({ name: 'broken.json', mimeType: 'application/json', buffer });
      await expect(page.getByRole('dialog', { name: 'This file was not opened' })).toBeVisible();
      return true;
    },
  },
];

/** Leaves a new window that was begun before, in its dialog. */
export async function startOver(page: Page): Promise<void> {
  const dialog = page.getByRole('dialog', { name: 'New window' });
  await expect(dialog).toBeVisible();
  const button = dialog.getByRole('button', { name: 'Start over' });
  if (await button.isVisible()) await button.click();
}

/** Whether the figures are a sheet that rises from below. */
async function raiseFigures(page: Page): Promise<void> {
  const handle = page.getByRole('button', { name: 'Raise the figures' });
  if (await handle.isVisible()) await handle.click();
}

/** Waits until the page has rendered its last change. */
export const nextFrame = (page: Page): Promise<unknown> =>
  page.evaluate(() => new Promise((resolve) => requestAnimationFrame(resolve)));

/** Closes whatever is open: back to the initial page, except for changes to the scene. */
export async function closeAll(page: Page): Promise<void> {
  const open = page.locator('dialog[open], button[aria-expanded=true]:visible, aside.with-panel');
  for (let tries = 0; tries < 6 && (await open.count()) > 0; tries += 1) {
    await page.keyboard.press('Escape');
    await nextFrame(page);
    // What Escape does not close, the button that opened it does.
    const left = page.locator('button[aria-expanded=true]:visible');
    if (tries > 1 && (await left.count()) > 0) await left.first().click();
    await nextFrame(page);
  }
  expect(await open.count(), 'still open').toBe(0);
  await page.evaluate(() => {
    for (const opened of document.querySelectorAll('details[open]')) opened.removeAttribute('open');
    if (document.activeElement instanceof HTMLElement) document.activeElement.blur();
  });
}
