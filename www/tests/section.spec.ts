// The section: every kind of layer changed and undone, several pieces at once, copies, a glass replaced everywhere.
import { readFile } from 'node:fs/promises';
import { expect, type Locator, type Page } from '@playwright/test';
import { choosePiece, open, pointOf, settled, valueOf, windowPixels } from './page';
import { test } from './shown';

const row = (page: Page, name: string | RegExp): Locator =>
  page.locator('ol button.head').filter({ has: page.locator('.name', { hasText: name }) });

async function add(page: Page, what: string): Promise<void> {
  await page.getByRole('button', { name: 'Add a layer' }).click();
  await page.getByRole('group', { name: 'Add a layer' }).getByRole('button', { name: what, exact: true }).click();
}

async function fill(page: Page, label: string, value: string): Promise<void> {
  const field = page.getByLabel(label, { exact: true });
  await field.fill(value);
  await field.press('Enter');
}

async function undoAll(page: Page): Promise<void> {
  const undo = page.getByRole('button', { name: /^Undo/ });
  while (await undo.isEnabled()) await undo.click();
}

async function takeGlass(page: Page, sought: string, name: string): Promise<void> {
  await page.getByRole('searchbox').fill(sought);
  await page
    .locator('li button')
    .filter({ has: page.locator('.name', { hasText: name }) })
    .first()
    .click();
}

const names = (page: Page): Promise<string[]> => page.locator('ol button.head .name').allInnerTexts();

test(
  'each kind of layer is added, changed, moved; undoing everything restores figures and picture',
  { tag: '@picture' },
  async ({ page }) => {
    await open(page);
    await choosePiece(page);
    await settled(page);
    const first = { lux: await valueOf(page, 'total_lx'), names: await names(page) };
    const pixels = await windowPixels(page);

    await page.getByRole('button', { name: /, change$/ }).click();
    await takeGlass(page, 'flashed ruby', 'Flashed copper ruby');
    await page.getByRole('button', { name: 'Done' }).click();
    await row(page, 'Flash').last().click();
    await fill(page, 'Flash left', '40');
    await expect(row(page, /^Flash$/)).toContainText('etched to 40');
    await page.getByRole('group', { name: 'Flash', exact: true }).getByRole('radio', { name: 'Outside' }).check();
    const order = await names(page);
    expect(order.indexOf('Flash')).toBeLessThan(order.findIndex((name) => name.startsWith('Flashed')));

    await add(page, 'Silver stain');
    await page.getByRole('radio', { name: 'Amber' }).check();
    await expect(row(page, 'Silver stain, amber')).toHaveAttribute('aria-expanded', 'true');
    await add(page, 'Enamel');
    await page.getByRole('group', { name: 'Blue enamel' }).getByRole('combobox').selectOption('green');
    await expect(row(page, 'Green enamel')).toBeVisible();
    await fill(page, 'Covers', '60');
    await add(page, 'Matting');
    await fill(page, 'Density', '0,8');
    await fill(page, 'Firing', '7');
    await add(page, 'Plate outside');
    await fill(page, 'Thickness', '2,5 mm');
    await row(page, 'Air').last().click();
    await page.getByRole('radio', { name: 'In contact' }).check();
    await expect(row(page, 'In contact')).toBeVisible();
    await add(page, 'Protective glazing');
    await fill(page, 'Lost to dirt', '20');
    await expect(row(page, 'Protective glazing')).toContainText('dirt takes 20');

    // By key: the enamel from the inside face across the glass to the outside face.
    const enamel = row(page, 'Green enamel');
    const place = async (): Promise<number> => (await names(page)).indexOf('Green enamel');
    const before = await place();
    await enamel.focus();
    await enamel.press('Alt+ArrowUp');
    await expect.poll(place).toBeLessThan(before);
    await expect(row(page, 'Green enamel')).toBeFocused();
    await expect.poll(() => valueOf(page, 'total_lx')).not.toBeCloseTo(first.lux, 6);

    await undoAll(page);
    expect(await names(page)).toEqual(first.names);
    await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(first.lux, 6);
    await expect.poll(() => windowPixels(page)).toBe(pixels);
  },
);

test('a layer of paint is dragged past another', async ({ shown: page }) => {
  await page.setViewportSize({ width: 1200, height: 1100 });
  await choosePiece(page);
  await add(page, 'Matting');
  await add(page, 'Enamel');
  const order = async (): Promise<boolean> => {
    const all = await names(page);
    return all.lastIndexOf('Matting') < all.indexOf('Blue enamel');
  };
  expect(await order()).toBe(true);
  await row(page, 'Blue enamel').click();
  const colour = (name: string): Locator =>
    page
      .locator('ol > li')
      .filter({ has: page.locator('.name', { hasText: name }) })
      .last()
      .locator('.colour');
  const [from, to] = [await colour('Blue enamel').boundingBox(), await colour('Matting').boundingBox()];
  if (from === null || to === null) throw new Error('the layers are not drawn');
  await page.mouse.move(from.x + 20, from.y + 10);
  await page.mouse.down();
  await page.mouse.move(to.x + 20, to.y + to.height / 2, { steps: 4 });
  await page.mouse.move(to.x + 20, to.y + 4, { steps: 2 });
  await page.mouse.up();
  await expect.poll(order).toBe(false);
});

test('several pieces: differences are shown, one edit changes all, a copied make-up is applied', async ({
  shown: page,
}) => {
  await choosePiece(page);
  await page.keyboard.press('Control+c');
  const copied = await page.locator('#section-name').innerText();
  await expect(page.getByText(`The make-up of ${copied.toLowerCase()} is copied.`, { exact: true })).toBeVisible();
  await page.getByRole('listbox', { name: /Pieces of the window/ }).focus();
  await page.keyboard.press('Control+a');
  await expect(page.getByText(/^and \d+ others$/)).toBeVisible();
  await expect(row(page, 'Different glasses')).toBeVisible();
  const before = await valueOf(page, 'total_lx');
  if ((await row(page, 'Different glasses').getAttribute('aria-expanded')) === 'false') {
    await row(page, 'Different glasses').click();
  }
  await expect(page.getByLabel('Thickness', { exact: true })).toHaveAttribute('placeholder', 'differs');
  await fill(page, 'Thickness', '6 mm');
  await expect(row(page, 'Different glasses')).not.toContainText('differs');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeLessThan(before);

  await page.getByRole('button', { name: /^Apply it to these \d+$/ }).click();
  await expect(row(page, 'Different glasses')).toHaveCount(0);
  const undo = page.getByRole('button', { name: /^Undo/ });
  await undo.click();
  await expect(row(page, 'Different glasses')).toBeVisible();
  await undo.click();
  await expect(undo).toBeDisabled();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(before, 6);
});

/** Selects a piece by a click. */
async function choose(page: Page, piece: number): Promise<void> {
  const at = await pointOf(page, piece);
  await page.mouse.click(at.x, at.y);
  await expect(page.getByRole('heading', { name: `Piece ${piece}`, exact: true })).toBeVisible();
  // Two clicks soon after one another would be a double click.
  await page.waitForTimeout(400);
}

test('a copied make-up keeps what is drawn on the piece, and says so', async ({ shown: page }) => {
  // 61 and 77 are painted with strokes, each its own; 1 has none.
  await choose(page, 77);
  await page.getByRole('button', { name: 'Copy this make-up' }).click();
  await choose(page, 61);
  const covers = async (): Promise<string> =>
    (await row(page, 'Trace line').innerText()).replace(/.*covers ([^,]+),.*/s, '$1');
  const before = await covers();
  await page.getByRole('button', { name: 'Apply it to this piece' }).click();
  await expect(page.getByText('What is drawn on it stays.')).toBeVisible();
  expect(await covers()).toBe(before);
  await page.getByRole('button', { name: /^Undo/ }).click();
  const plain = await page
    .locator('[role=option]')
    .evaluateAll((all) => all.map((one) => Number(one.id.replace('piece-', ''))).at(0) ?? 0);
  await choose(page, plain);
  await page.getByRole('button', { name: 'Apply it to this piece' }).click();
  await expect(page.getByText(/lines drawn on piece 77 were not copied/)).toBeVisible();
  await expect(row(page, 'Trace line')).toContainText(/covers \d/);
  await expect(page.locator('ol')).not.toContainText(/[-−]0/);
});

test('a piece without the layer opened before opens its glass, and the signs say what opens', async ({
  shown: page,
}) => {
  await choose(page, 61);
  await row(page, 'Trace line').click();
  await expect(row(page, 'Trace line')).toHaveAttribute('aria-expanded', 'true');
  await page.getByRole('listbox', { name: /Pieces of the window/ }).focus();
  const plain = page.locator('[role=option][aria-label$=", Clear soda white"], [role=option]').first();
  await choose(page, Number(((await plain.getAttribute('id')) ?? '').replace('piece-', '')));
  await expect(row(page, 'Trace line')).toHaveCount(0);
  await expect(page.locator('ol button.head[aria-expanded=true]')).toHaveCount(1);
  const heads = page.locator('ol button.head');
  await expect(heads.locator('svg')).toHaveCount(await heads.count());
});

test('the heading of the section and Close stay in sight, and the section is more than a few lines high', async ({
  shown: page,
}) => {
  await page.setViewportSize({ width: 1024, height: 768 });
  await choose(page, 61);
  const close = page.getByRole('button', { name: /^Close the section/ });
  const region = page.getByRole('region', { name: 'Reading and section' });
  const [box, head] = [await region.boundingBox(), await close.boundingBox()];
  if (box === null || head === null) throw new Error('no section');
  expect(box.y + box.height - (head.y + head.height)).toBeGreaterThan(450);
  await region.evaluate((element) => element.scrollTo(0, 10_000));
  await expect(close).toBeInViewport();
  expect((await close.boundingBox())?.y).toBeCloseTo(head.y, 0);
  // On the page, not only in it: nothing lies over it.
  await close.click();
  await expect(page.getByRole('heading', { name: /^Piece/ })).toHaveCount(0);
  // The reading is shown from its top again.
  await expect(page.getByRole('heading', { name: 'Light at the viewing position' })).toBeInViewport();
});

test('a glass is replaced everywhere in one edit', async ({ shown: page }) => {
  await choosePiece(page);
  const before = await valueOf(page, 'total_lx');
  await page.getByRole('button', { name: 'Replace everywhere' }).click();
  await expect(page.getByText(/^Choose the replacement for (one piece|\d+ pieces)/)).toBeVisible();
  await takeGlass(page, 'midnight', 'Midnight cobalt');
  await page.getByRole('button', { name: 'Done' }).click();
  await expect(row(page, 'Midnight cobalt')).toBeVisible();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeLessThan(before);
  const undo = page.getByRole('button', { name: /^Undo/ });
  await undo.click();
  await expect(undo).toBeDisabled();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(before, 6);
});

test('in the list of glasses the arrow keys move between tiles and change nothing until Enter', async ({
  shown: page,
}) => {
  await choosePiece(page);
  await page.getByRole('button', { name: /, change$/ }).click();
  const present = page.locator('[aria-pressed="true"] .name');
  const name = await present.innerText();
  await expect(page.locator('li button[aria-pressed="true"]')).toBeFocused();
  await page.keyboard.press('End');
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('ArrowLeft');
  await expect(present).toHaveText(name);
  const focused = await page.locator('li button:focus .name').innerText();
  expect(focused).not.toBe(name);
  await page.keyboard.press('Enter');
  await expect(present).toHaveText(focused);
  // Words are found at their beginnings, and the results are shown from the first one on.
  await page.getByRole('searchbox').fill('red');
  const results = await page.locator('.families .name').allInnerTexts();
  expect(results.join()).toContain('Selenium red');
  expect(results.join()).not.toMatch(/float|Hammered/);
  await page.locator('.families').evaluate((families) => families.scrollTo(0, 10_000));
  await page.getByRole('searchbox').fill('blue');
  await expect.poll(() => page.locator('.families').evaluate((families) => families.scrollTop)).toBe(0);
  await page.getByRole('searchbox').fill('no such glass');
  await expect(page.getByText('No glass matches.')).toBeVisible();
});

test('how paint scatters: usual values are marked, changed, refused by name and undone', async ({ shown: page }) => {
  await choosePiece(page);
  await add(page, 'Matting');
  const matting = page.getByRole('group', { name: 'Matting', exact: true });
  const field = (label: string): Locator =>
    matting.locator('.field').filter({ has: page.getByLabel(label, { exact: true }) });
  for (const [label, value] of [
    ['Scatters', '35'],
    ['Forwards', '80'],
    ['Spread', '15'],
  ] as const) {
    await expect(matting.getByLabel(label, { exact: true })).toHaveValue(value);
    await expect(field(label)).toContainText('usual');
  }
  await settled(page);
  const lux = await valueOf(page, 'total_lx');
  await fill(page, 'Spread', '30');
  await expect(field('Spread')).not.toContainText('usual');
  await expect(field('Forwards')).toContainText('usual');
  await fill(page, 'Forwards', '20');
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBeCloseTo(lux, 6);
  await fill(page, 'Spread', '60');
  await expect(field('Spread').getByRole('alert')).toContainText('Spread: expected a number from 1 to 45');
  await page.keyboard.press('Escape');
  await matting.getByRole('button', { name: 'Scatter as usual' }).click();
  await expect(field('Spread')).toContainText('usual');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(lux, 6);
  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(matting.getByLabel('Forwards', { exact: true })).toHaveValue('20');
  await expect(matting.getByLabel('Spread', { exact: true })).toHaveValue('30');
  await fill(page, 'Forwards', '0');
  await expect(matting.getByLabel('Spread', { exact: true })).toHaveCount(0);
});

test('how a glass of the scene’s own scatters is changed beneath it', async ({ shown: page }) => {
  const buffer = await readFile('../crate/scene/tests/frozen/v5/scattering.json');
  await page.locator('input[type=file]').setInputFiles({ name: 'own.json', mimeType: 'application/json', buffer });
  // Opening it clears what is chosen.
  await expect(page.getByRole('heading', { level: 1 })).toHaveText('A frozen window that scatters');
  await choosePiece(page);
  const glass = page.getByRole('group', { name: 'Rack 15, matted' });
  await expect(glass.getByLabel('Scatters', { exact: true })).toHaveValue('80');
  await expect(glass.getByLabel('Forwards', { exact: true })).toHaveValue('90');
  await expect(glass.getByLabel('Spread', { exact: true })).toHaveValue('12');
  await expect(glass).toContainText('wherever it is used');
  await fill(page, 'Spread', '25');
  await expect(glass.getByLabel('Spread', { exact: true })).toHaveValue('25');
  await page.getByRole('button', { name: /^Undo/ }).click();
  await expect(glass.getByLabel('Spread', { exact: true })).toHaveValue('12');
});

test('dirt is added to a piece, put on the whole window and taken off again', async ({ shown: page }) => {
  const undo = page.getByRole('button', { name: /^Undo/ });
  const before = await valueOf(page, 'total_lx');
  await choose(page, 61);
  await add(page, 'Dirt outside');
  const dirt = row(page, 'Dirt');
  await expect(dirt).toContainText('outside, takes 8');
  await expect(dirt).toHaveAttribute('aria-expanded', 'true');
  await expect(dirt).toBeInViewport();
  await fill(page, 'Light lost', '30');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeLessThan(before);
  const one = await valueOf(page, 'total_lx');
  // Another piece has some of its own, of another kind.
  await choose(page, 77);
  await add(page, 'Dirt outside');
  await page.getByRole('group', { name: 'Dirt' }).getByRole('radio', { name: 'Corrosion' }).check();
  await expect(row(page, 'Corrosion')).toContainText('takes 8');

  // What differs stays apart: a source for both leaves kinds and losses as they are.
  const at = await pointOf(page, 61);
  await page.keyboard.down('Shift');
  await page.mouse.click(at.x, at.y);
  await page.keyboard.up('Shift');
  await expect(page.getByLabel('Light lost', { exact: true })).toHaveAttribute('placeholder', 'differs');
  await fill(page, 'Source', 'seen on site');
  // Pressed among several, a piece stays among them.
  await choose(page, 1);
  await choose(page, 77);
  await expect(row(page, 'Corrosion')).toContainText('takes 8');
  await expect(page.getByLabel('Source', { exact: true })).toHaveValue('seen on site');
  await choose(page, 61);
  await expect(dirt).toContainText('takes 30');
  await expect(page.getByLabel('Source', { exact: true })).toHaveValue('seen on site');

  // On the whole window, also where a piece had some of its own; one undo brings all of that back.
  const apart = await valueOf(page, 'total_lx');
  await page.getByRole('button', { name: 'Apply to whole window' }).click();
  await expect.poll(() => valueOf(page, 'total_lx')).toBeLessThan(0.95 * apart);
  await expect(page.getByText('What you change here changes this piece alone')).toBeVisible();
  await choose(page, 77);
  await expect(row(page, 'Dirt')).toContainText('takes 30');
  await undo.click();
  await expect(row(page, 'Corrosion')).toContainText('takes 8');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(apart, 6);
  await page.getByRole('button', { name: /^Redo/ }).click();
  await expect(row(page, 'Dirt')).toContainText('takes 30');

  // A piece that differs from its window, and is like it again.
  await expect.poll(() => valueOf(page, 'total_lx')).toBeLessThan(0.95 * apart);
  const soiled = await valueOf(page, 'total_lx');
  await page.getByRole('button', { name: 'Clean here' }).click();
  await expect(row(page, 'Dirt')).toContainText('clean');
  await page.getByRole('button', { name: 'Same as window' }).click();
  await expect(row(page, 'Dirt')).toContainText('takes 30');
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(soiled, 6);
  await page.getByRole('button', { name: 'Remove from window' }).click();
  await expect(row(page, 'Dirt')).toHaveCount(0);
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(before, 6);
  await undo.click();
  await expect(row(page, 'Dirt')).toContainText('takes 30');
  await undoAll(page);
  await expect.poll(() => valueOf(page, 'total_lx')).toBeCloseTo(before, 6);
  expect(one).toBeLessThan(before);
});

test('a layer added on a phone comes into sight', async ({ shown: page }) => {
  await choose(page, 61);
  await page.setViewportSize({ width: 390, height: 844 });
  await page.getByRole('button', { name: 'Add a layer' }).click();
  const adding = page.getByRole('group', { name: 'Add a layer' });
  await expect(adding.getByRole('button', { name: 'Dirt inside' })).toBeInViewport();
  await adding.getByRole('button', { name: 'Dirt inside' }).click();
  await expect(row(page, 'Dirt')).toBeInViewport();
  await expect(page.getByLabel('Light lost', { exact: true })).toBeInViewport();
});
