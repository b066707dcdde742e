// One way through the page in a browser with another engine: what a visitor does first. All else is tested in Chromium.
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { expect, test as base } from '@playwright/test';
import { StudioServer } from '../server';
import { COLLECT, complaintsOf } from './console';
import { within } from './engine';
import { startFirefox } from './firefox';
import { Visitor } from './visitor';
import { startWebKit } from './webkit';

const STARTS: Record<string, typeof startFirefox> = { firefox: startFirefox, webkit: startWebKit };
const DRAWING = fileURLToPath(new URL('../../../demo-scenes/first-drawing.svg', import.meta.url));

const test = base.extend<object, { visitor: Visitor }>({
  visitor: [
    // eslint-disable-next-line no-empty-pattern -- Playwright reads from it that nothing is needed.
    async ({}, use, { project }) => {
      const start = STARTS[project.name];
      if (start === undefined) throw new Error(`No browser is called ${project.name}.`);
      const server = await StudioServer.start();
      server.firstScript = COLLECT;
      const engine = await start();
      await use(new Visitor(engine, server.address));
      await engine.close();
      await server.stop();
    },
    { scope: 'worker', timeout: 90_000 },
  ],
});

// Each goes on from where the one before left the page.
test.describe.configure({ mode: 'serial' });

test.afterEach(async ({ visitor }, info) => {
  if (info.status === info.expectedStatus) return;
  const png = await within(visitor.engine.screenshot(), 20, 'The browser shows nothing');
  writeFileSync(info.outputPath('failed.png'), Buffer.from(png, 'base64'));
});

test('opens with a lit window and its light', async ({ visitor }) => {
  await visitor.visit();
  const light = await visitor.look();
  expect(light.bright, 'share of bright pixels').toBeGreaterThan(0.03);
  expect(light.coloured, 'share of coloured pixels').toBeGreaterThan(0.005);
  expect(light.colours, 'different colours').toBeGreaterThan(10);
  const shown = Number((await visitor.text('data[data-figure="total_lx"]')).replaceAll(/\D/g, ''));
  const lux = await visitor.lux();
  // As exactly as it is known.
  expect(Math.abs(shown - lux)).toBeLessThanOrEqual(0.06 * lux);
  const slow = await visitor.engine.ask(() => document.body.innerText.includes('Drawn without a graphics card'));
  // `cargo xtask test` repeats this line.
  console.log(`DRAWN in ${visitor.engine.name} ${slow ? 'by the processor' : 'by a graphics card'}`);
});

test('another glass changes figure and picture; undo brings both back', async ({ visitor }) => {
  await visitor.engine.click(await visitor.insidePiece());
  await visitor.click('button', ', change$');
  await visitor.click('input[type=search]');
  await visitor.engine.type('ruby');
  await visitor.reads('.families h3', 'Red');
  const before = { lux: await visitor.lux(), ...(await visitor.look()) };
  await visitor.click('li button', '^Gold ruby');
  await expect.poll(() => visitor.lux()).not.toBe(before.lux);
  await expect.poll(async () => (await visitor.look()).hash).not.toBe(before.hash);

  await visitor.click('button', '^Undo: ');
  await expect.poll(() => visitor.lux()).toBeCloseTo(before.lux, 6);
  await expect.poll(async () => (await visitor.look()).hash).toBe(before.hash);
  await visitor.click('button', '^Redo: ');
  await expect.poll(() => visitor.lux()).not.toBeCloseTo(before.lux, 6);
});

test('dragging the hour changes figure and picture', async ({ visitor }) => {
  const before = { lux: await visitor.lux(), ...(await visitor.look()) };
  const day = await visitor.find('[role=slider]', 'Hour of the day');
  await visitor.engine.drag([0, 20, 40, 60].map((x) => ({ x: day.x + x, y: day.y })));
  await visitor.settled();
  expect(await visitor.lux()).not.toBe(before.lux);
  expect((await visitor.look()).hash).not.toBe(before.hash);
});

test('a reload keeps the scene, and its file opens again', async ({ visitor }) => {
  const lux = await visitor.lux();
  await visitor.engine.press('Control+s');
  await visitor.reads('.saved[aria-busy="false"]', 'saved to a file');
  const { downloads } = visitor.engine;
  const saved = (): string[] => readdirSync(downloads).filter((name) => name.endsWith('.json'));
  await expect.poll(saved).toHaveLength(1);
  const file = join(downloads, saved()[0] ?? '');
  await expect.poll(() => readFileSync(file, 'utf8').trimEnd().endsWith('}')).toBe(true);

  await visitor.visit();
  await visitor.reads('header', 'Opened as you left it');
  await expect.poll(() => visitor.lux()).toBeCloseTo(lux, 6);
  await visitor.click('button', '^Start again from the demo');
  await expect.poll(() => visitor.lux()).not.toBeCloseTo(lux, 6);
  await visitor.engine.choose('[aria-label="Scene file"]', file);
  await expect.poll(() => visitor.lux()).toBeCloseTo(lux, 6);
});

test('a drawing becomes a lit window', async ({ visitor }) => {
  await visitor.click('button', '^File');
  await visitor.click('button', '^New window');
  await visitor.engine.choose('[aria-label="Drawing of the window"]', DRAWING);
  // The drawing has no unit.
  await visitor.reads('dialog[open]', 'How wide is it?');
  await visitor.click('dialog[open] input[type=text]');
  await visitor.engine.type('600');
  await visitor.engine.press('Enter');
  await visitor.reads('dialog[open]', /600 × \d+ mm, \d+ pieces/);
  await visitor.click('dialog[open] button', '^Light the window');
  await visitor.reads('h1', 'first-drawing');
  await visitor.settled();
  expect(await visitor.lux()).toBeGreaterThan(10);
  // Clear glass so far: the paving and the sky outside, without much colour.
  const light = await visitor.look();
  expect(light.bright, 'share of bright pixels').toBeGreaterThan(0.03);
});

test('nothing was wrong on the console', async ({ visitor }) => {
  expect(await complaintsOf(visitor.engine)).toEqual([]);
  // Nor would anything have gone unheard.
  await visitor.engine.ask(() => console.error('a word'));
  expect(await complaintsOf(visitor.engine)).toEqual(['console.error: a word']);
});
