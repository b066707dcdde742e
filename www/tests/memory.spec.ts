// Memory of the graphics card while the hour is dragged. What a card holds for a page is freed by the page itself: the
// collector sees only small objects and would let it grow.
import { readFile } from 'node:fs/promises';
import { expect, test, type Browser } from '@playwright/test';
import { open, ribbon, settled } from './page';

/** Large enough for a software card to be slow, so that every hour has a coarse and a whole picture. */
const SIZE = { width: 1440, height: 900 };
const STEPS = 8;
/** Steps before counting begins, in which the browser fills its own pools. */
const FIRST_STEPS = 4;
/** A third of what the pictures of these steps hold together. */
const MOST_MB = 32;

/** Memory of the browser's GPU process, MB; a software card's textures live there. */
async function gpuMb(browser: Browser): Promise<number> {
  const { processInfo } = await (await browser.newBrowserCDPSession()).send('SystemInfo.getProcessInfo');
  const gpu = processInfo.find(({ type }) => type === 'GPU');
  const status = await readFile(`/proc/${gpu?.id ?? 'none'}/status`, 'utf8');
  return Number(/^VmRSS:\s*(\d+) kB$/m.exec(status)?.[1]) / 1024;
}

/** Whether the whole picture of the hour shown is on the screen; asked at every frame. */
const isDrawn = (): boolean =>
  document.documentElement.dataset['drawn'] === document.querySelector<HTMLElement>('[data-at]')?.dataset['at'];

test.use({ deviceScaleFactor: 1 });

test('dragging the hour does not fill the graphics card', { tag: '@webgpu' }, async ({ browser, page }) => {
  test.skip(process.platform !== 'linux', 'reads the memory of a process from /proc');
  await open(page);
  await page.setViewportSize(SIZE);
  await settled(page);
  const box = await ribbon(page).boundingBox();
  if (box === null) throw new Error('the ribbon has no box');
  const y = box.y + box.height / 2;
  const drag = async (steps: number): Promise<void> => {
    for (let step = 0; step < steps; step += 1) {
      // There and back again between 10:00 and 14:00, so that no two hours in a row are the same.
      await page.mouse.move(box.x + box.width * (0.42 + 0.16 * Math.abs(((step / 12) % 2) - 1)), y);
      await page.waitForFunction(isDrawn);
    }
  };
  await page.mouse.move(box.x + box.width / 2, y);
  await page.mouse.down();
  await drag(FIRST_STEPS);
  const before = await gpuMb(browser);
  await drag(STEPS);
  const grown = (await gpuMb(browser)) - before;
  await page.mouse.up();
  expect(grown, `growth in ${STEPS} steps, MB`).toBeLessThan(MOST_MB);
});
