// Shared by the tests of the page: opens it, reads its figures, and computes the same figures separately.
import { readFile } from 'node:fs/promises';
import { expect, type Locator, type Page } from '@playwright/test';
import { waitUntilLit } from './light';

/** Small, because the software GPU's cost grows with the pixels; wide enough for the reading beside the window. */
export const SMALL = { width: 860, height: 600 };

/** The demo that the page opens with. */
export const FIRST_DEMO = 'estuary-lancet';

/** The pages that save by downloading. */
const downloading = new WeakSet<Page>();

export async function open(page: Page, query = ''): Promise<void> {
  await page.setViewportSize(SMALL);
  if (!downloading.has(page)) {
    downloading.add(page);
    await page.addInitScript(() => {
      // The browser's save dialog cannot be answered here; without it, saving is a download.
      delete (window as { showSaveFilePicker?: unknown }).showSaveFilePicker;
    });
  }
  await page.goto(`./${query}`);
  await waitUntilLit(page);
  await expect(figure(page, 'total_lx')).toBeVisible({ timeout: 60_000 });
}

/** The number behind a figure of the reading, unrounded. */
export const figure = (page: Page, name: string): Locator => page.locator(`data[data-figure="${name}"]`);

export async function valueOf(page: Page, name: string): Promise<number> {
  return Number(await figure(page, name).getAttribute('value'));
}

export const ribbon = (page: Page): Locator => page.getByRole('slider', { name: 'Hour of the day' });

export async function minuteShown(page: Page): Promise<number> {
  return Number(await ribbon(page).getAttribute('aria-valuenow'));
}

export async function dayIsReady(page: Page): Promise<void> {
  await expect(page.getByText('Working out the day')).toHaveCount(0, { timeout: 60_000 });
  await expect(page.locator('.slivers rect').first()).toBeAttached();
}

/** Waits until picture and figures match the hour shown. */
export async function settled(page: Page): Promise<void> {
  const at = await page.locator('[data-at]').getAttribute('data-at');
  await expect(page.locator('html')).toHaveAttribute('data-drawn', at ?? '');
  await expect(page.locator('[data-report-at]')).toHaveAttribute('data-report-at', at ?? '');
}

/** The picture on the screen, without the outline and text that the page lays over it. */
export async function windowPixels(page: Page): Promise<string> {
  const cover = (visibility: string): Promise<void> =>
    page.locator('.area').evaluate((area, value) => {
      const words = document.querySelectorAll<HTMLElement>('.first-visit');
      for (const part of [...area.querySelectorAll<HTMLElement>('svg, p'), ...words]) part.style.visibility = value;
    }, visibility);
  await cover('hidden');
  const png = await page.locator('.area').screenshot();
  await cover('');
  return png.toString('base64');
}

/** The scene file of a demo. */
export const demoText = (id: string): Promise<string> =>
  readFile(new URL(`../../demo-scenes/${id}.json`, import.meta.url), 'utf8');

export interface Answer {
  total_lx: number;
  sky_ground_lx: number;
  sun_lx: number;
  room_lx: number;
  share_of_clear: number | null;
  words: string;
}

/** The figures of a demo scene with edits applied, from an instance of the module separate from the page's. */
export async function askModule(page: Page, demo: string, at: string, edits: object[] = []): Promise<Answer> {
  return page.evaluate(
    async ([text, hour, made]) => {
      const names = performance.getEntriesByType('resource').map((entry) => entry.name);
      const find = (pattern: RegExp): string => {
        const found = names.find((name) => pattern.test(name));
        if (found === undefined) throw new Error(`nothing like ${pattern} was loaded`);
        return found;
      };
      const glue = await import(`${find(/\/web-[^/]*\.js/).split('#')[0]}#test`);
      await glue.default({ module_or_path: await (await fetch(find(/\.wasm$/))).arrayBuffer() });
      const figures = new glue.Figures(text);
      for (const edit of made) figures.apply(edit);
      const { viewing } = JSON.parse(figures.report(hour, ''));
      const { working_plane: plane } = viewing;
      const { share_of_clear, cast } = plane ?? viewing;
      return { ...(plane?.horizontal ?? viewing.vertical), share_of_clear, words: cast.words };
    },
    [await demoText(demo), at, edits.map((edit) => JSON.stringify(edit))] as const,
  );
}

/** Selects the piece in the middle by keyboard and waits for its section, with its glass open. */
export async function choosePiece(page: Page): Promise<void> {
  const pieces = page.getByRole('listbox', { name: /Pieces of the window/ });
  await pieces.focus();
  await expect(pieces).toBeFocused();
  await pieces.press('Enter');
  await expect(page.getByRole('heading', { name: /^Piece \d+$/ })).toBeVisible();
  // The layer that was opened last is open; the glass is the innermost layer with a thickness.
  const glass = page.locator('ol button.head').filter({ hasText: / mm/ }).last();
  if ((await glass.getAttribute('aria-expanded')) === 'false') await glass.click();
  await pieces.focus();
}

/** A point on the screen inside a piece: its interior point through the list's transform. */
export async function pointOf(page: Page, piece: number): Promise<{ x: number; y: number }> {
  return page.locator(`#piece-${piece}`).evaluate((path: SVGPathElement) => {
    const box = path.getBBox();
    const matrix = path.getScreenCTM();
    const fill = path as unknown as { isPointInFill(point: DOMPoint): boolean };
    for (let k = 1; k < 400; k += 1) {
      const at = new DOMPoint(box.x + ((k * 7) % 20) * (box.width / 20), box.y + (k / 400) * box.height);
      if (fill.isPointInFill(at)) return at.matrixTransform(matrix ?? undefined);
    }
    throw new Error('the piece has no inside');
  });
}

/** Adds a line to the glue each time it is fetched; `nth` counts from 1, `by` is the page or worker that fetches it. */
export async function addToGlue(page: Page, line: (nth: number, by: string) => string): Promise<void> {
  let nth = 0;
  let glue: Promise<string> | null = null;
  await page.route(/\/assets\/web-[^/]*\.js/, async (route) => {
    nth += 1;
    const by = route.request().headers()['referer'] ?? '';
    // Fetched once, so that no answer is under way when a test ends.
    glue ??= route.fetch().then((response) => response.text());
    await route.fulfill({
      body: `${await glue}\n${line(nth, by)}`,
      contentType: 'text/javascript',
      headers: { 'cache-control': 'no-store' },
    });
  });
}

/** How many scenes the page has opened. */
const opened = (page: Page): Promise<number> =>
  page.evaluate(() => performance.getEntriesByName('scene opened').length);

/** Opens a demo by its id from the menu of files, and waits until it is open. */
export async function openDemo(page: Page, id: string): Promise<void> {
  const before = await opened(page);
  await page.getByRole('button', { name: 'File', exact: true }).click();
  await page.locator(`button[data-demo="${id}"]`).click();
  await expect.poll(() => opened(page)).toBeGreaterThan(before);
}

/** The status in the name line of whether the scene is kept; found only when nothing is being written. */
export const kept = (page: Page): Locator => page.locator('.saved[aria-busy="false"]');

/** Presses at the middle of something as a hand does: it is still pressed while the page answers what it left. */
export async function pressSlowly(page: Page, target: Locator): Promise<void> {
  await target.scrollIntoViewIfNeeded();
  const box = await target.boundingBox();
  if (box === null) throw new Error('there is nothing to press');
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.waitForTimeout(400);
  await page.mouse.up();
}

/** The texts of elements that lie over another one of them, or beyond the sides of the page. */
export const overlapping = (all: Locator): Promise<string[]> =>
  all.evaluateAll((elements) => {
    // The box of a line of text is higher than its letters, and may reach into that of the next, px.
    const LEADING = 3;
    const seen = elements
      .filter((element) => element.checkVisibility({ visibilityProperty: true }))
      // Of words that run over two lines, each line.
      .map((element) => ({ words: element.textContent.trim(), boxes: [...element.getClientRects()] }))
      .filter(({ boxes }) => boxes.some(({ width, height }) => width > 0 && height > 0));
    const meet = (a: DOMRect, b: DOMRect): boolean =>
      a.left < b.right - 0.5 && b.left < a.right - 0.5 && a.top < b.bottom - LEADING && b.top < a.bottom - LEADING;
    return seen
      .filter(
        (one) =>
          one.boxes.some(({ left, right }) => left < 0 || right > innerWidth) ||
          seen.some((other) => other !== one && one.boxes.some((a) => other.boxes.some((b) => meet(a, b)))),
      )
      .map(({ words }) => words);
  });
