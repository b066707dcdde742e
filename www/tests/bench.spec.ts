// Not a test: measures the built page's time to its first lit picture, for `cargo xtask bench page`.
import { test } from '@playwright/test';

const LOADS = 5;

test('first lit picture', async ({ browser }, info) => {
  const times: number[] = [];
  for (let load = 0; load < LOADS; load += 1) {
    const page = await browser.newPage({ viewport: { width: 1440, height: 900 } });
    await page.goto('./');
    times.push(
      await page.evaluate(
        () =>
          new Promise<number>((resolve) => {
            const look = (): void => {
              const mark = performance.getEntriesByName('first lit picture')[0];
              if (mark === undefined) requestAnimationFrame(look);
              else resolve(mark.startTime);
            };
            look();
          }),
      ),
    );
    await page.close();
  }
  times.sort((a, b) => a - b);
  const [least, median, most] = [times[0], times[LOADS >> 1], times[LOADS - 1]].map((ms) => Math.round(ms ?? NaN));
  console.log(
    `MEASURED first lit picture, ${info.project.name.replace('bench-', '')}: ${median} ms (${least}–${most})`,
  );
});
