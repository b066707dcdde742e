// WebKitGTK's small browser on a display of its own, driven by WebKitWebDriver (W3C WebDriver).
import { spawn, type ChildProcess } from 'node:child_process';
import { mkdirSync, mkdtempSync, rmSync } from 'node:fs';
import { createServer, type AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Builder, By, Key, Origin, type WebDriver } from 'selenium-webdriver';
import { SIZE, within, type Engine } from './engine';

export async function startWebKit(): Promise<Engine> {
  const folder = mkdtempSync(join(tmpdir(), 'clerestory-webkit-'));
  const programs: ChildProcess[] = [];
  const stop = (): void => {
    // Nothing of theirs is worth saving, and one that hangs would not heed less.
    for (const program of programs.splice(0).reverse()) program.kill('SIGKILL');
    rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  };
  // Should the test be stopped before it closes the browser.
  process.once('exit', stop);
  try {
    const display = await ownDisplay(programs);
    // Its home is a new folder, so that it reads and leaves nothing elsewhere; there it also saves files.
    const home = join(folder, 'home');
    mkdirSync(home);
    const port = await freePort();
    const driver = spawn('WebKitWebDriver', [`--port=${port}`], {
      env: {
        ...process.env,
        DISPLAY: display,
        GDK_BACKEND: 'x11',
        HOME: home,
        LANG: 'C.UTF-8',
        NO_AT_BRIDGE: '1',
        // Its sandbox needs rights that containers rarely give. It opens no page but ours.
        WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS: '1',
      },
      stdio: ['ignore', 'ignore', 'inherit'],
    });
    programs.push(driver);
    await started(driver, 'WebKitWebDriver', 'Debian package webkit2gtk-driver');
    const browser = await within(session(port), 60, 'WebKit does not start');
    const capabilities = await browser.getCapabilities();
    await fit(browser);
    return {
      ...over(browser),
      name: `WebKitGTK ${capabilities.getBrowserVersion()}`,
      downloads: home,
      close: async () => {
        try {
          await within(browser.quit(), 10, 'WebKit does not close');
        } finally {
          stop();
        }
      },
    };
  } catch (error) {
    stop();
    throw error;
  }
}

/** Starts a display in memory; returns its name. */
async function ownDisplay(programs: ChildProcess[]): Promise<string> {
  const size = `${2 * SIZE.width}x${2 * SIZE.height}x24`;
  const server = spawn('Xvfb', ['-displayfd', '3', '-screen', '0', size, '-nolisten', 'tcp'], {
    stdio: ['ignore', 'ignore', 'ignore', 'pipe'],
  });
  programs.push(server);
  const number = new Promise<string>((resolve) =>
    server.stdio[3]?.once('data', (line) => resolve(String(line).trim())),
  );
  await started(server, 'Xvfb', 'Debian package xvfb');
  return `:${await within(number, 20, 'Xvfb names no display')}`;
}

/** Waits until a program runs. */
function started(program: ChildProcess, name: string, source: string): Promise<void> {
  return new Promise((resolve, reject) => {
    program.once('spawn', resolve);
    program.once('error', () => reject(new Error(`${name} could not be started. Install it (${source}).`)));
  });
}

function freePort(): Promise<number> {
  return new Promise((resolve, reject) => {
    const server = createServer();
    server.once('error', reject);
    server.listen(0, '127.0.0.1', () => {
      const { port } = server.address() as AddressInfo;
      server.close(() => resolve(port));
    });
  });
}

/** The driver answers a moment after it has started. */
async function session(port: number): Promise<WebDriver> {
  const address = `http://127.0.0.1:${port}`;
  const answers = async (): Promise<void> => {
    while (
      !(await fetch(`${address}/status`).then(
        (answer) => answer.ok,
        () => false,
      ))
    ) {
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  };
  await within(answers(), 20, 'WebKitWebDriver does not answer');
  return new Builder().usingServer(address).withCapabilities({ browserName: 'MiniBrowser' }).build();
}

/** Gives the page its size: the window's less its bar. */
async function fit(browser: WebDriver): Promise<void> {
  const window = browser.manage().window();
  await window.setRect({ ...SIZE, x: 0, y: 0 });
  const [width, height] = await browser.executeScript<[number, number]>('return [innerWidth, innerHeight]');
  await window.setRect({ width: 2 * SIZE.width - width, height: 2 * SIZE.height - height, x: 0, y: 0 });
}

function over(browser: WebDriver): Omit<Engine, 'name' | 'downloads' | 'close'> {
  const mouse = ({ x, y }: { x: number; y: number }, duration: number) => ({
    x: Math.round(x),
    y: Math.round(y),
    duration,
    origin: Origin.VIEWPORT,
  });
  return {
    visit: (address) => browser.get(address),
    ask: async (call, ...given) => {
      const [value, error] = await browser.executeAsyncScript<[Awaited<ReturnType<typeof call>>, string | null]>(
        `const [given, done] = arguments;
         Promise.resolve().then(() => (${call.toString()})(...given)).then((value) => done([value, null]), (e) => done([null, String(e)]));`,
        given,
      );
      if (error !== null) throw new Error(error);
      return value;
    },
    click: (at) => browser.actions().move(mouse(at, 0)).press().release().perform(),
    drag: (along) =>
      along
        .reduce((moves, at, i) => {
          const moved = moves.move(mouse(at, 20));
          return i === 0 ? moved.press() : moved;
        }, browser.actions())
        .release()
        .perform(),
    type: (text) => browser.actions().sendKeys(text).perform(),
    press: (keys) => {
      const actions = browser.actions();
      if (keys === 'Enter') return actions.sendKeys(Key.ENTER).perform();
      return actions.keyDown(Key.CONTROL).sendKeys('s').keyUp(Key.CONTROL).perform();
    },
    choose: async (input, path) => (await browser.findElement(By.css(`input${input}`))).sendKeys(path),
    screenshot: () => browser.takeScreenshot(),
  };
}
