// Place and light: site, bearing, sky and viewing position each change the figures, and each is undone as one edit.
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { expect, type Locator, type Page } from '@playwright/test';
import { FIRST_DEMO, askModule, dayIsReady, demoText, figure, open, pressSlowly, settled, valueOf } from './page';
import { test } from './shown';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

async function openPanel(page: Page, tab: string): Promise<void> {
  await page.getByRole('button', { name: /Change place and light$/ }).click();
  await page.getByRole('tab', { name: tab }).click();
}

async function fill(field: Locator, value: string): Promise<void> {
  await field.fill(value);
  await field.press('Enter');
}

const undo = (page: Page) => page.getByRole('button', { name: /^Undo/ });
const at = async (page: Page): Promise<string> => (await page.locator('[data-at]').getAttribute('data-at')) ?? '';

/** Waits until the figures equal those of the demo with these edits applied, computed separately. */
async function figuresAre(page: Page, edits: object[]): Promise<void> {
  const answer = await askModule(page, FIRST_DEMO, await at(page), edits);
  await expect
    .poll(async () => Math.abs((await valueOf(page, 'total_lx')) / answer.total_lx - 1), { timeout: 60_000 })
    .toBeLessThan(1e-9);
}

/** The demo's surroundings, as the module gives them. */
async function surroundings(page: Page) {
  return page.evaluate(
    async (text) => {
      const names = performance.getEntriesByType('resource').map((entry) => entry.name);
      const find = (pattern: RegExp): string => names.find((name) => pattern.test(name)) ?? '';
      const glue = await import(`${find(/\/web-[^/]*\.js/).split('#')[0]}#around`);
      await glue.default({ module_or_path: await (await fetch(find(/\.wasm$/))).arrayBuffer() });
      const document = new glue.SceneDocument(text);
      return { ...JSON.parse(document.surroundings()), places: JSON.parse(document.overview()).places };
    },
    await demoText(FIRST_DEMO),
  );
}

test('turning the needle by keys turns the window, as one edit', async ({ shown: page }) => {
  const { room } = await surroundings(page);
  await openPanel(page, 'Place');
  const needle = page.getByRole('slider', { name: 'Bearing that the window looks toward' });
  await needle.focus();
  for (let i = 0; i < 3; i += 1) await page.keyboard.press('ArrowRight');
  await page.keyboard.press('Shift+ArrowRight');
  await expect(needle).toHaveAttribute('aria-valuenow', String(room.facing_deg + 13));
  await figuresAre(page, [{ edit: 'set_room', room: { ...room, facing_deg: room.facing_deg + 13 } }]);
  await page.keyboard.press('Control+z');
  await expect(needle).toHaveAttribute('aria-valuenow', String(room.facing_deg));
  await expect(undo(page)).toBeDisabled();
  await figuresAre(page, []);
});

test('the needle follows the pointer, and the light follows the needle', async ({ shown: page }) => {
  const { room } = await surroundings(page);
  await openPanel(page, 'Place');
  const needle = page.getByRole('slider', { name: 'Bearing that the window looks toward' });
  await needle.scrollIntoViewIfNeeded();
  const box = await needle.boundingBox();
  if (box === null) throw new Error('no compass');
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await page.mouse.move(x, y - 60);
  await page.mouse.down();
  await page.mouse.move(x + 40, y - 40, { steps: 3 });
  await page.mouse.move(x + 60, y, { steps: 3 });
  await expect(needle).toHaveAttribute('aria-valuenow', '90');
  // The drag is not over, but the figures already match it.
  await figuresAre(page, [{ edit: 'set_room', room: { ...room, facing_deg: 90 } }]);
  await expect(undo(page)).toBeDisabled();
  await page.mouse.up();
  await expect(page.getByText('The window looks east, 90°')).toBeVisible();
  await figuresAre(page, [{ edit: 'set_room', room: { ...room, facing_deg: 90 } }]);
  await undo(page).click();
  await expect(undo(page)).toBeDisabled();

  // Turned and turned back: no edit was made, and the figures are the scene's again.
  await needle.focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowLeft');
  await page.keyboard.press('Tab');
  await figuresAre(page, []);
  await expect(undo(page)).toBeDisabled();
});

test('coordinates take a decimal comma and minutes; a time zone far from the sun raises a caution', async ({
  page,
}) => {
  await open(page);
  const { site } = await surroundings(page);
  await openPanel(page, 'Place');
  const latitude = page.getByLabel('Latitude', { exact: true });
  await latitude.fill('33° 54,5′ S');
  await latitude.press('Enter');
  await expect(latitude).toHaveValue('33.9083° S');
  const moved = { ...site, latitude_deg: -(33 + 54.5 / 60) };
  await figuresAre(page, [{ edit: 'set_site', site: moved }]);
  await latitude.fill('95 N');
  await latitude.press('Enter');
  await expect(page.getByRole('alert').filter({ hasText: 'found “95 N”' })).toBeVisible();
  await latitude.press('Escape');
  await expect(latitude).toHaveValue('33.9083° S');
  const zone = page.getByRole('combobox', { name: 'Time zone' });
  await zone.fill('tokyo');
  await zone.press('Enter');
  await expect(zone).toHaveValue('Asia/Tokyo');
  await expect(
    page.locator('#place-part').getByText(/clocks of Asia\/Tokyo are \d+ hours ahead of the sun/),
  ).toBeVisible();
  await zone.fill('Middle/Earth');
  await zone.press('Enter');
  await expect(page.getByRole('alert').filter({ hasText: 'Middle/Earth' })).toBeVisible();
  await undo(page).click();
  await undo(page).click();
  await expect(undo(page)).toBeDisabled();
  await figuresAre(page, []);
});

test('another sky and another ground change the light', async ({ shown: page }) => {
  await openPanel(page, 'Sky');
  await page.getByText('Overcast', { exact: true }).click();
  const overcast = { edit: 'set_sky', sky: { kind: 'overcast', cloud: 1 } };
  await figuresAre(page, [overcast]);
  const cloud = page.getByRole('slider', { name: 'Share of the sky covered' });
  await cloud.focus();
  await page.keyboard.press('ArrowLeft');
  await expect(page.getByRole('radio', { name: 'Broken cloud' })).toBeChecked();
  await figuresAre(page, [{ edit: 'set_sky', sky: { kind: 'overcast', cloud: 0.95 } }]);
  await page.getByText('CIE standard sky', { exact: true }).click();
  await page.getByLabel('Type').selectOption('12');
  const kelvin = page.getByLabel('Temperature', { exact: true });
  await kelvin.fill('9000');
  await kelvin.press('Enter');
  await page.getByLabel('Light on open ground').selectOption('given');
  const standard = {
    edit: 'set_sky',
    sky: { kind: 'standard', cie_type: 12, spectrum: { cct_k: 9000 }, diffuse_horizontal_lx: 10_000 },
  };
  await figuresAre(page, [standard]);
  await page.getByLabel('Ground', { exact: true }).selectOption('snow');
  await figuresAre(page, [standard, { edit: 'set_ground', ground: { material: 'snow' } }]);
  await page.getByRole('button', { name: 'Close place and light' }).click();
  await expect(page.getByText(/Looks .*CIE standard sky 12, clear, clean air/)).toBeVisible();
  for (let i = 0; i < 7; i += 1) await undo(page).click();
  await expect(undo(page)).toBeDisabled();
  await figuresAre(page, []);
});

test('a point dragged in the plan and moved by keys in the section moves the eye', async ({ shown: page }) => {
  const { places } = await surroundings(page);
  const [first] = places;
  await openPanel(page, 'Position');
  const point = page.getByRole('button', { name: new RegExp(`^${first.name} in the plan`) });
  await point.scrollIntoViewIfNeeded();
  // Its name is beside it.
  const box = await point.locator('.hold').boundingBox();
  if (box === null) throw new Error('no point');
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2 + 30, box.y + box.height / 2 + 8, { steps: 4 });
  await page.mouse.up();
  const distance = page.getByLabel('From the glass', { exact: true });
  await expect.poll(async () => Number(await distance.inputValue())).toBeGreaterThan(first.distance_m + 0.2);
  const moved = {
    ...first,
    distance_m: Number(await distance.inputValue()),
    right_m: Number((await page.getByLabel('Right of the middle', { exact: true }).inputValue()).replace('−', '-')),
  };
  expect(moved.right_m).toBeLessThan(first.right_m);
  // The last move changes the viewing position: the figures shown are the module's for it.
  await figuresAre(page, [{ edit: 'set_places', places: [moved, ...places.slice(1)] }]);
  await page.getByRole('button', { name: new RegExp(`^${first.name} in the section`) }).focus();
  await page.keyboard.press('ArrowUp');
  await page.keyboard.press('ArrowUp');
  await expect(page.getByLabel('Eye above the floor', { exact: true })).toHaveValue(
    String(Number((first.eye_height_m + 0.2).toFixed(2))),
  );
  await page.keyboard.press('Control+z');
  await page.keyboard.press('Control+z');
  await expect(undo(page)).toBeDisabled();
  await figuresAre(page, []);
});

test('a position used for a desk has the light on the desk in front', async ({ shown: page }) => {
  const [first, ...others] = (await surroundings(page)).places;
  const eye = await valueOf(page, 'total_lx');
  const deskAt = (height_m: number): object[] => [
    { edit: 'set_places', places: [{ ...first, working_plane: { kind: 'desk', height_m } }, ...others] },
  ];
  await openPanel(page, 'Position');
  await page.getByLabel('Light for', { exact: true }).selectOption('desk');
  const height = page.getByLabel('Desk above the floor', { exact: true });
  await expect(height).toHaveValue('0.75');
  await expect(page.getByText('0.75 m is a usual height, assumed here: measure yours.')).toBeVisible();
  await figuresAre(page, deskAt(0.75));
  await height.fill('0.7');
  await height.press('Enter');
  await figuresAre(page, deskAt(0.7));
  await expect(page.getByText('is a usual height')).toHaveCount(0);
  await page.getByRole('button', { name: 'Close place and light' }).click();
  await expect(page.getByRole('heading', { name: 'Light on the desk' })).toBeVisible();
  await expect(page.getByText('on the desk, 0.7 m above the floor', { exact: true })).toBeVisible();
  // The other light is still to be had.
  expect(Math.abs((await valueOf(page, 'At the eye, facing the window')) / eye - 1)).toBeLessThan(1e-12);
  await expect(undo(page)).toHaveAccessibleName(/use of a viewing position/);
  await undo(page).click();
  await undo(page).click();
  await expect(undo(page)).toBeDisabled();
  await figuresAre(page, []);
  await expect(page.getByRole('heading', { name: 'Light at the viewing position' })).toBeVisible();
});

test('positions are added, named and removed', async ({ shown: page }) => {
  const { places } = await surroundings(page);
  await openPanel(page, 'Position');
  const choice = page.locator('#place-choice');
  await page.getByRole('button', { name: 'Add a position' }).click();
  await expect(choice).toHaveValue(`position ${places.length + 1}`);
  const name = page.getByLabel('Name', { exact: true });
  await name.fill(places[0].name);
  await name.press('Enter');
  await expect(page.getByRole('alert').filter({ hasText: 'a name that no other position has' })).toBeVisible();
  await name.fill('gallery');
  await name.press('Enter');
  await expect(choice).toHaveValue('gallery');
  await page.getByRole('button', { name: 'Remove', exact: true }).click();
  await expect(choice).toHaveValue(places[0].name);
  await expect(choice.locator('option')).toHaveCount(places.length);
  for (let i = 0; i < 3; i += 1) await undo(page).click();
  await expect(undo(page)).toBeDisabled();
  await figuresAre(page, []);
});

test('a press below a field is not lost when the field says what is wrong', async ({ shown: page }) => {
  await openPanel(page, 'Position');
  const choice = page.locator('#place-choice');
  const wrong = page.getByRole('alert').filter({ hasText: 'found' });
  const name = page.getByLabel('Name', { exact: true });
  await name.fill('');
  await pressSlowly(page, page.getByRole('button', { name: 'Add a position' }));
  await expect(choice).toHaveValue(/^position \d+$/);
  const eye = page.getByLabel('Eye above the floor', { exact: true });
  await eye.fill('high');
  await pressSlowly(page, page.getByRole('button', { name: 'Remove', exact: true }));
  await expect(choice).not.toHaveValue(/^position/);
  await expect(wrong).toHaveCount(0);
  // Said all the same, once nothing is pressed.
  await eye.fill('high');
  await pressSlowly(page, page.getByRole('heading', { name: 'Place and light' }));
  await expect(wrong).toBeVisible();
});

test('the name of a position stays off the walls and the window in the plan', async ({ shown: page }) => {
  await openPanel(page, 'Position');
  const name = page.getByLabel('Name', { exact: true });
  for (const [words, wide] of [
    ['bench before the north transept', 390],
    ['the place where the tall reading desk stood until the floor was laid anew', 390],
    ['bench before the north transept', 1024],
  ] as const) {
    await page.setViewportSize({ width: wide, height: 844 });
    await name.fill(words);
    await name.press('Enter');
    await expect(page.locator('svg text.shown')).toContainText(words.slice(0, 20));
    const [text, room] = await Promise.all([
      page.locator('svg text.shown').boundingBox(),
      page.locator('svg rect.room').first().boundingBox(),
    ]);
    expect(text!.x).toBeGreaterThan(room!.x + 2);
    expect(text!.x + text!.width).toBeLessThan(room!.x + room!.width);
  }
});

test('an older viewer changes the picture but no figure', async ({ shown: page }) => {
  await settled(page);
  await openPanel(page, 'Position');
  const before = await valueOf(page, 'total_lx');
  const age = page.getByLabel('Age of the viewer', { exact: true });
  await age.fill('75');
  await age.press('Enter');
  await page.getByLabel('Eyes').selectOption('blue or green');
  await expect(age).toHaveValue('75');
  await settled(page);
  await figuresAre(page, []);
  expect(await valueOf(page, 'total_lx')).toBe(before);
  // The day is not recomputed for it.
  await expect(page.getByText('Working out the day')).toHaveCount(0);
  await undo(page).click();
  await undo(page).click();
  await expect(age).toHaveValue('40');
  await expect(undo(page)).toBeDisabled();
});

test('the room accepts another size and other surfaces, and refuses a size that the window does not fit', async ({
  page,
}) => {
  await open(page);
  const { room } = await surroundings(page);
  await openPanel(page, 'Room');
  const depth = page.getByLabel('Depth', { exact: true });
  await depth.fill(String(room.depth_m + 2));
  await depth.press('Enter');
  await page.getByLabel('Floor', { exact: true }).selectOption('slate');
  const changed = {
    ...room,
    depth_m: room.depth_m + 2,
    surfaces: { ...room.surfaces, floor: { material: 'slate' } },
  };
  await figuresAre(page, [{ edit: 'set_room', room: changed }]);
  const height = page.getByLabel('Height', { exact: true });
  await height.fill('1');
  await height.press('Enter');
  const refused = page.locator('#place-part').getByRole('alert');
  await expect(refused).toContainText(/^Viewing position “.+”: expected less than the room's height, 1 m; found/);
  // What was refused stays to be mended, and is not offered again when the field is left.
  await height.blur();
  await expect(height).toHaveValue('1');
  await height.press('Escape');
  await expect(height).toHaveValue(String(room.height_m));
  await expect(refused).toHaveCount(0);
  await expect(page.getByRole('dialog')).toHaveCount(0);
});

test('axe finds nothing in place and light, and in the year', async ({ shown: page }) => {
  await dayIsReady(page);
  const found = async (): Promise<unknown> => {
    await page.evaluate(axe);
    return page.evaluate(async () => {
      const { axe } = globalThis as unknown as {
        axe: { run(): Promise<{ violations: { id: string; nodes: { html: string }[] }[] }> };
      };
      const { violations } = await axe.run();
      return violations.map(({ id, nodes }) => ({ id, nodes: nodes.map((node) => node.html.slice(0, 200)) }));
    });
  };
  await page.getByRole('button', { name: 'Show the year' }).first().click();
  await openPanel(page, 'Place');
  for (const tab of ['Place', 'Sky', 'Around', 'Wall', 'Position', 'Room']) {
    await page.getByRole('tab', { name: tab }).click();
    expect(await found(), tab).toEqual([]);
  }
  await page.keyboard.press('Escape');
  await expect(figure(page, 'Sky and ground')).toBeVisible();
  await settled(page);
});

test('snow covers the ground and melts again, each as one edit', async ({ shown: page }) => {
  const { ground } = await surroundings(page);
  const snow = { edit: 'set_ground', ground: { material: 'snow' } };
  await openPanel(page, 'Sky');
  const covered = page.getByLabel('Snow on the ground');
  await expect(covered).not.toBeChecked();
  await covered.check();
  await expect(page.getByLabel('Ground', { exact: true })).toHaveValue('snow');
  await figuresAre(page, [snow]);
  await expect(undo(page)).toHaveAccessibleName('Undo: ground outside');
  await covered.uncheck();
  await figuresAre(page, [snow, { edit: 'set_ground', ground }]);
  await undo(page).click();
  await expect(covered).toBeChecked();
  await undo(page).click();
  await expect(covered).not.toBeChecked();
  await expect(undo(page)).toBeDisabled();
});

test('the own building and a house opposite change the figures, each as one edit', async ({ shown: page }) => {
  const { horizon, block_if_added, assumed_own_height_m } = await surroundings(page);
  await openPanel(page, 'Around');
  const panel = page.locator('#place-part');
  const counted = page.getByLabel('Count its height and shadow');
  const height = page.getByLabel('Height of its wall', { exact: true });
  const assumed = panel.getByText('assumed', { exact: true });
  await expect(counted).not.toBeChecked();
  await expect(panel).toContainText('Also counted, as the file has it: skyline up to 3° high.');
  // How well the level is known stays in sight.
  await expect(page.locator('.reading .range')).toHaveText(/lx in nine cases of ten/, { timeout: 60_000 });
  await counted.check();
  await figuresAre(page, [{ edit: 'set_horizon', horizon: { ...horizon, own_building: {} } }]);
  await expect(height).toHaveValue(String(assumed_own_height_m));
  await expect(assumed).toBeVisible();
  // Off and on again.
  await counted.uncheck();
  await expect(height).toHaveCount(0);
  await figuresAre(page, []);
  await counted.check();
  await fill(height, '12');
  await expect(assumed).toHaveCount(0);
  await page.getByRole('button', { name: 'Add a house or wall' }).click();
  const house = page.getByRole('group', { name: 'House or wall 1' });
  await fill(house.getByLabel('Distance', { exact: true }), '6');
  const built = { ...horizon, own_building: { height_m: 12 }, blocks: [{ ...block_if_added, distance_m: 6 }] };
  await figuresAre(page, [{ edit: 'set_horizon', horizon: built }]);
  // The printed sheet names them, and so does the reading, in a line.
  const told = (event: string) => page.evaluate((name) => window.dispatchEvent(new Event(name)), event);
  await told('beforeprint');
  const sheet = page.locator('.printed');
  await expect(sheet).toContainText('Own wall: 12 m high');
  await expect(sheet).toContainText(/House or wall: 6 m away, [\d.]+ m high, from [\d.]+ m left to [\d.]+ m right/);
  await told('afterprint');
  await expect(page.getByText('Own building, 1 house or wall opposite')).toBeAttached();
  // A right end left of the left one is refused, and nothing is lost.
  await fill(house.getByLabel('Right end', { exact: true }), '-20');
  await expect(house.getByRole('alert')).toContainText('House or wall 1, right end: expected');
  await expect(page.getByRole('dialog')).toHaveCount(0);
  await house.getByLabel('Right end', { exact: true }).press('Escape');
  await expect(house.getByRole('alert')).toHaveCount(0);
  // Also a size that no house has, beneath its field.
  const depth = house.getByLabel('Depth', { exact: true });
  await fill(depth, '-3');
  await expect(page.getByRole('alert').filter({ hasText: 'Depth: expected a length' })).toBeVisible();
  await depth.press('Escape');
  await figuresAre(page, [{ edit: 'set_horizon', horizon: built }]);
  // The fields of a house stay its own when the one before it goes.
  await page.getByRole('button', { name: 'Add a house or wall' }).click();
  const second = page.getByRole('group', { name: 'House or wall 2' }).getByLabel('Height', { exact: true });
  await fill(second, '7');
  const own = (await second.getAttribute('id')) ?? '';
  await page.getByRole('button', { name: 'Remove house or wall 1' }).click();
  await expect(page.getByRole('group', { name: 'House or wall 2' })).toHaveCount(0);
  await expect(house.getByLabel('Height', { exact: true })).toHaveValue('7');
  await expect(house.getByLabel('Height', { exact: true })).toHaveAttribute('id', own);
  await page.getByRole('button', { name: 'Remove house or wall 1' }).click();
  await expect(house).toHaveCount(0);
  await expect(undo(page)).toHaveAccessibleName(/surroundings/);
  await undo(page).click();
  await expect(house).toBeVisible();
  for (let i = 0; i < 9; i += 1) await undo(page).click();
  await expect(undo(page)).toBeDisabled();
  await expect(counted).not.toBeChecked();
  await figuresAre(page, []);
});

test('a wall with depth takes light, is refused where it cannot be, and undo gives the light back', async ({
  shown: page,
}) => {
  const { windows, places } = await surroundings(page);
  const [{ id }] = windows;
  const walled = (wall: object | null): object[] => [{ edit: 'set_wall', window: id, wall }];
  const before = await valueOf(page, 'total_lx');
  await openPanel(page, 'Wall');
  const outer = page.getByRole('group', { name: 'Outer reveal' });
  await outer.getByRole('checkbox', { name: 'Outer reveal' }).check();
  const depth = outer.getByLabel('Depth', { exact: true });
  await expect(depth).toHaveValue('200');
  await expect(outer.getByText('assumed', { exact: true })).toBeVisible();
  await figuresAre(page, walled({ outer: { depth_m: 0.2 } }));
  await fill(depth, '45 cm');
  await expect(depth).toHaveValue('450');
  await figuresAre(page, walled({ outer: { depth_m: 0.45 } }));
  expect(await valueOf(page, 'total_lx')).toBeLessThan(0.95 * before);
  await page.evaluate(() => window.dispatchEvent(new Event('beforeprint')));
  await expect(page.locator('.printed')).toContainText('450 mm deep outside, square');
  await page.evaluate(() => window.dispatchEvent(new Event('afterprint')));
  await expect(page.getByText(/The wall takes \d+% of the light of an overcast sky from the glass/)).toBeVisible();
  await expect(undo(page)).toHaveAccessibleName(/wall around window/);

  // An inner reveal past a viewing position is refused beneath its field, which names the position.
  const inner = page.getByRole('group', { name: 'Inner reveal' });
  const glassWidth = async (): Promise<number> => (await page.locator('path.frame').boundingBox())?.width ?? NaN;
  const alone = await glassWidth();
  await inner.getByRole('checkbox', { name: 'Inner reveal' }).check();
  // The picture then shows the stone around the glass, too.
  await expect.poll(glassWidth).toBeLessThan(0.97 * alone);
  const near = places.reduce((least: { distance_m: number }, one: { distance_m: number }) =>
    one.distance_m < least.distance_m ? one : least,
  );
  await fill(inner.getByLabel('Depth', { exact: true }), String(1000 * near.distance_m));
  await expect(inner.getByRole('alert')).toContainText(`Viewing position “${near.name}”`);
  await expect(page.getByRole('dialog')).toHaveCount(0);

  for (let i = 0; i < 3; i += 1) await undo(page).click();
  await expect(undo(page)).toBeDisabled();
  await expect(outer.getByRole('checkbox', { name: 'Outer reveal' })).not.toBeChecked();
  await expect.poll(glassWidth).toBeCloseTo(alone, 3);
  await figuresAre(page, []);
});

test('leads with depth take light from the side', async ({ shown: page }) => {
  const { windows } = await surroundings(page);
  const [{ id }] = windows;
  const leaves = (leaf_mm: number): object[] => [{ edit: 'set_wall', window: id, wall: { leaf_mm } }];
  const before = await valueOf(page, 'total_lx');
  await openPanel(page, 'Wall');
  const leads = page.getByRole('group', { name: 'Depth of leads and bars' });
  await leads.getByRole('checkbox').check();
  const leaf = leads.getByLabel('Leaf stands out', { exact: true });
  await expect(leaf).toHaveValue('1');
  await expect(leads.getByText('assumed', { exact: true })).toBeVisible();
  await figuresAre(page, leaves(1));
  expect(await valueOf(page, 'total_lx')).toBeLessThan(before);
  await fill(leaf, '1/16 in');
  await figuresAre(page, leaves(1.5875));
  await expect(leads.getByText(/They take \d+% of the light of an overcast sky/)).toBeVisible();
  // The wall itself has no depth by that.
  await expect(page.getByText('The wall has no depth yet')).toBeVisible();
  await fill(leaf, '11');
  await expect(leads.getByRole('alert')).toContainText('from 0 to 10');
  for (let i = 0; i < 2; i += 1) await undo(page).click();
  await expect(leads.getByRole('checkbox')).not.toBeChecked();
  await figuresAre(page, []);
});

test('an assumed wall follows floor and room, one that was typed says what stands in the way', async ({
  shown: page,
}) => {
  const { horizon, assumed_own_height_m: storey, room } = await surroundings(page);
  await openPanel(page, 'Around');
  await page.getByLabel('Count its height and shadow').check();
  const height = page.getByLabel('Height of its wall', { exact: true });
  const floor = page.getByLabel('Floor above ground', { exact: true });
  const assumed = page.locator('#place-part').getByText('assumed', { exact: true });
  await fill(floor, '3.2');
  const metres = (value: number): string => String(Number(value.toFixed(2)));
  await expect(height).toHaveValue(metres(storey + 3.2));
  await expect(assumed).toBeVisible();
  await figuresAre(page, [
    { edit: 'set_horizon', horizon: { ...horizon, own_building: {}, floor_above_ground_m: 3.2 } },
  ]);
  await page.getByRole('tab', { name: 'Room' }).click();
  await fill(page.getByLabel('Height', { exact: true }), metres(room.height_m + 1));
  await page.getByRole('tab', { name: 'Around' }).click();
  await expect(height).toHaveValue(metres(storey + 4.2));
  // At the level of the ground the scene states nothing.
  await fill(floor, '0');
  await figuresAre(page, [
    { edit: 'set_horizon', horizon: { ...horizon, own_building: {} } },
    { edit: 'set_room', room: { ...room, height_m: room.height_m + 1 } },
  ]);
  // Typed as it stood, it was measured.
  await fill(height, metres(storey + 1));
  await expect(assumed).toHaveCount(0);
  await fill(floor, '40');
  const refused = page.locator('#place-part').getByRole('alert');
  await expect(refused).toContainText('Height of this building’s wall');
  await expect(refused).toContainText("the height of the highest window's head above the ground outside");
  await floor.press('Escape');
  await expect(floor).toHaveValue('0');
  for (let i = 0; i < 5; i += 1) await undo(page).click();
  await expect(undo(page)).toBeDisabled();
  await figuresAre(page, []);
});
