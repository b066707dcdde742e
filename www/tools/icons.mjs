// Draws the icons of the web manifest from public/icon.svg. Run `node tools/icons.mjs` when the drawing has changed.
import { readFileSync } from 'node:fs';
import { chromium } from '@playwright/test';

const svg = readFileSync(new URL('../public/icon.svg', import.meta.url), 'utf8');
const GROUND = '#151515';
// A maskable icon may be cropped to a circle of 4/5 of its width, so the window is drawn smaller in it.
const ICONS = [
  ['icon-192.png', 192, 1],
  ['icon-512.png', 512, 1],
  ['icon-maskable-512.png', 512, 0.78],
];

const browser = await chromium.launch({
  executablePath: process.env.CLERESTORY_CHROMIUM ?? '/usr/bin/chromium',
  chromiumSandbox: false,
});
for (const [name, size, part] of ICONS) {
  const page = await browser.newPage({ viewport: { width: size, height: size } });
  const picture = svg.replace('<svg ', `<svg width="${size * part}" height="${size * part}" `);
  await page.setContent(
    `<body style="margin:0;height:100vh;display:grid;place-items:center;background:${GROUND}">${picture}</body>`,
  );
  await page.screenshot({ path: new URL(`../public/${name}`, import.meta.url).pathname });
}
await browser.close();
