// What a visitor does on the page, in any browser: finds things by their names, clicks, types, looks.
import { expect } from '@playwright/test';
import { lightOf, type Light } from '../light';
import type { Engine, Point } from './engine';

/** Longest wait for anything but the first light. */
const PATIENCE = { timeout: 30_000 };

export class Visitor {
  constructor(
    readonly engine: Engine,
    readonly address: string,
  ) {}

  /** Opens the page, or opens it again, and waits for the first lit picture and its figures. */
  async visit(): Promise<void> {
    await this.engine.visit(this.address);
    await expect.poll(() => this.state('lit'), { timeout: 60_000, message: 'the first lit picture' }).toBe('yes');
    await expect.poll(() => this.lux(), { timeout: 60_000, message: 'the light at the position' }).toBeGreaterThan(0);
    await this.settled();
  }

  /** A state that the page keeps on its root element. */
  state(name: 'lit' | 'drawn'): Promise<string | null> {
    return this.engine.ask((key) => document.documentElement.dataset[key] ?? null, name);
  }

  /** The light at the viewing position, unrounded; NaN if there is none. */
  lux(): Promise<number> {
    return this.engine.ask(() =>
      Number(document.querySelector<HTMLDataElement>('data[data-figure="total_lx"]')?.value || 'NaN'),
    );
  }

  /** The text of the first element that matches; empty if there is none. */
  text(selector: string): Promise<string> {
    return this.engine.ask((css) => document.querySelector(css)?.textContent?.trim() ?? '', selector);
  }

  /** Waits until the text of what matches is, or contains, these words. */
  async reads(selector: string, words: string | RegExp): Promise<void> {
    const expected = typeof words === 'string' ? expect.stringContaining(words) : expect.stringMatching(words);
    await expect.poll(() => this.text(selector), PATIENCE).toEqual(expected);
  }

  /** Waits until picture and figures match the hour shown. */
  async settled(): Promise<void> {
    const matches = (): Promise<boolean> =>
      this.engine.ask(() => {
        const at = document.querySelector<HTMLElement>('[data-at]')?.dataset['at'];
        const report = document.querySelector<HTMLElement>('[data-report-at]')?.dataset['reportAt'];
        return at !== undefined && at === report && at === document.documentElement.dataset['drawn'];
      });
    await expect.poll(matches, { ...PATIENCE, message: 'picture and figures of the hour shown' }).toBe(true);
  }

  /** The middle of what matches and has such a name, once it is there and nothing covers it. */
  async find(selector: string, name = ''): Promise<Point> {
    let found: Point | null = null;
    const look = async (): Promise<boolean> => {
      found = await this.engine.ask(
        (css, pattern) => {
          for (const element of document.querySelectorAll(css)) {
            const called = element.getAttribute('aria-label') ?? element.textContent ?? '';
            if (!new RegExp(pattern).test(called.trim())) continue;
            element.scrollIntoView({ block: 'nearest' });
            const box = element.getBoundingClientRect();
            const at = { x: box.x + box.width / 2, y: box.y + box.height / 2 };
            const top = document.elementFromPoint(at.x, at.y);
            if (top !== null && element.contains(top)) return at;
          }
          return null;
        },
        selector,
        name,
      );
      return found !== null;
    };
    await expect.poll(look, { ...PATIENCE, message: `${selector} ${name}, in sight` }).toBe(true);
    return found as unknown as Point;
  }

  async click(selector: string, name = ''): Promise<void> {
    await this.engine.click(await this.find(selector, name));
  }

  /** A point inside the largest piece of the window. */
  insidePiece(): Promise<Point> {
    return this.engine.ask(() => {
      const size = (path: SVGPathElement): number => path.getBBox().width * path.getBBox().height;
      const paths = [...document.querySelectorAll<SVGPathElement>('[id^="piece-"]')].sort((a, b) => size(b) - size(a));
      for (const path of paths) {
        const box = path.getBBox();
        const at = new DOMPoint(box.x + box.width / 2, box.y + box.height / 2);
        if (!path.isPointInFill(at)) continue;
        const { x, y } = at.matrixTransform(path.getScreenCTM() ?? undefined);
        return { x, y };
      }
      throw new Error('no piece has its middle inside');
    });
  }

  /** The complete picture of the hour shown, without what the page lays over it. */
  async look(): Promise<Light> {
    const cover = (hidden: boolean): Promise<void> =>
      this.engine.ask(async (hide) => {
        const put = (css: string, visibility: string): void => {
          for (const part of document.querySelectorAll<HTMLElement>(css)) part.style.visibility = visibility;
        };
        put('section.wall, .first-visit, .notes', hide ? 'hidden' : '');
        put('.area canvas', hide ? 'visible' : '');
        // A screenshot shows the last frame.
        for (let frame = 0; frame < 2; frame += 1) await new Promise((resolve) => requestAnimationFrame(resolve));
      }, hidden);
    await cover(true);
    try {
      // A panel that has just opened changes the picture's size: a coarse picture comes first.
      await this.settled();
      return await this.engine.ask(lightOf, await this.engine.screenshot(), '.area');
    } finally {
      await cover(false);
    }
  }
}
