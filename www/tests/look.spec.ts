// Screenshots of every screen at every size the page is designed for: `cargo xtask look` names the folder.
import { expect, test } from '@playwright/test';
import { waitUntilLit } from './light';
import { closeAll, SCREENS, SIZES } from './screens';

for (const { width, height } of SIZES) {
  for (const scheme of ['dark', 'grey']) {
    test(`${width} × ${height}, ${scheme}`, async ({ page }) => {
      test.setTimeout(600_000);
      const folder = process.env['CLERESTORY_LOOK'];
      if (folder === undefined) throw new Error('Set CLERESTORY_LOOK to the folder for the pictures.');
      await page.addInitScript((value) => {
        localStorage.setItem('clerestory.preferences', JSON.stringify({ scheme: value, units: null }));
      }, scheme);
      await page.setViewportSize({ width, height });
      await page.goto('./');
      // Screenshots of a page that does not light up are still useful; the test fails after taking them.
      const fault = await waitUntilLit(page).then(
        () => undefined,
        (error: unknown) => error,
      );
      for (const screen of SCREENS) {
        if (await screen.prepare(page)) {
          await page.screenshot({ path: `${folder}/${width}x${height}-${scheme}-${screen.name}.png` });
        }
        await closeAll(page);
      }
      expect(fault).toBeUndefined();
    });
  }
}
