// Firefox without a display, driven by WebDriver BiDi.
import { existsSync, mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { launch, type Page } from 'puppeteer-core';
import { SIZE, within, type Engine } from './engine';

const USUAL_PLACES = [
  '/usr/bin/firefox-esr',
  '/usr/bin/firefox',
  '/Applications/Firefox.app/Contents/MacOS/firefox',
  'C:\\Program Files\\Mozilla Firefox\\firefox.exe',
];

/** Path of the browser: `CLERESTORY_FIREFOX` if set (xtask sets it), otherwise the usual places. */
function firefoxPath(): string {
  const path = process.env['CLERESTORY_FIREFOX'] ?? USUAL_PLACES.find((place) => existsSync(place));
  if (path === undefined) throw new Error('No Firefox found. Install it, or set CLERESTORY_FIREFOX to its path.');
  return path;
}

export async function startFirefox(): Promise<Engine> {
  const folder = mkdtempSync(join(tmpdir(), 'clerestory-firefox-'));
  const downloads = join(folder, 'downloads');
  mkdirSync(downloads);
  const browser = await launch({
    browser: 'firefox',
    executablePath: firefoxPath(),
    timeout: 60_000,
    // One command, such as a screenshot while the processor draws.
    protocolTimeout: 60_000,
    defaultViewport: SIZE,
    extraPrefsFirefox: {
      'browser.download.dir': downloads,
      'browser.download.folderList': 2,
      'intl.accept_languages': 'en-GB',
      'intl.locale.requested': 'en-GB',
    },
  });
  const close = async (): Promise<void> => {
    try {
      await within(browser.close(), 10, 'Firefox does not close');
    } finally {
      browser.process()?.kill('SIGKILL');
    }
    rmSync(folder, { recursive: true, force: true });
  };
  try {
    return {
      ...over(await browser.newPage()),
      name: (await browser.version()).replace('firefox/', 'Firefox '),
      downloads,
      close,
    };
  } catch (error) {
    await close();
    throw error;
  }
}

function over(page: Page): Omit<Engine, 'name' | 'downloads' | 'close'> {
  return {
    visit: async (address) => void (await page.goto(address)),
    // The library's own type also maps handles of elements, which are never given here.
    ask: (call, ...given) => page.evaluate(call, ...(given as unknown as [])),
    click: ({ x, y }) => page.mouse.click(x, y),
    drag: async (along) => {
      for (const [i, { x, y }] of along.entries()) {
        await page.mouse.move(x, y);
        if (i === 0) await page.mouse.down();
      }
      await page.mouse.up();
    },
    type: (text) => page.keyboard.type(text),
    press: async (keys) => {
      if (keys === 'Enter') return page.keyboard.press(keys);
      await page.keyboard.down('Control');
      await page.keyboard.press('s');
      await page.keyboard.up('Control');
    },
    choose: async (input, path) => {
      const found = await page.$(`input${input}`);
      if (found === null) throw new Error(`The page has no input${input}.`);
      await (found as unknown as { uploadFile(path: string): Promise<void> }).uploadFile(path);
    },
    screenshot: () => page.screenshot({ encoding: 'base64' }),
  };
}
