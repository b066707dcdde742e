// The reading, and dragging the hour: figures and window change together.
import { expect, type Locator } from '@playwright/test';
import {
  FIRST_DEMO,
  askModule,
  choosePiece,
  dayIsReady,
  demoText,
  figure,
  minuteShown,
  open,
  openDemo,
  overlapping,
  ribbon,
  settled,
  valueOf,
  windowPixels,
} from './page';
import { test } from './shown';

test('shows what the module answers', async ({ shown: page }) => {
  const at = (await page.locator('[data-at]').getAttribute('data-at')) ?? '';
  const answer = await askModule(page, FIRST_DEMO, at);
  expect(await valueOf(page, 'total_lx')).toBeCloseTo(answer.total_lx, 6);
  expect(await valueOf(page, 'Sky and ground')).toBeCloseTo(answer.sky_ground_lx, 6);
  expect(await valueOf(page, 'Sun through glass')).toBeCloseTo(answer.sun_lx, 6);
  expect(await valueOf(page, 'From the room')).toBeCloseTo(answer.room_lx, 6);
  expect(await valueOf(page, 'Of clear glass')).toBeCloseTo(answer.share_of_clear ?? NaN, 9);
  await expect(page.locator('.words').first()).toHaveText(new RegExp(answer.words, 'i'));
  // The text is that number as exactly as it is known, to two figures or so.
  const read = Number((await figure(page, 'total_lx').innerText()).replaceAll(',', ''));
  expect(Math.abs(read - answer.total_lx)).toBeLessThanOrEqual(0.06 * answer.total_lx);
});

test('says how well the light is known and what it depends on', async ({ shown: page }) => {
  const line = page.getByRole('button', { name: /in nine cases of ten/ });
  await expect(line).toBeVisible({ timeout: 60_000 });
  const ends = ((await line.innerText()).match(/\d+/g) ?? []).map(Number);
  const total = await valueOf(page, 'total_lx');
  expect(ends[0]).toBeLessThan(total);
  expect(ends[1]).toBeGreaterThan(total);
  await line.click();
  const causes = page.locator('#depends-on li');
  await expect(causes.filter({ hasText: 'level of the sky' })).toContainText('assumption');
  const shares = (await causes.locator('.share').allInnerTexts()).map((text) => parseFloat(text));
  expect(shares.length).toBeGreaterThan(3);
  expect(Math.abs(shares.reduce((sum, share) => sum + share, 0) - 100)).toBeLessThan(6);
  await expect(page.locator('#depends-on')).toContainText(
    /If only the glass were uncertain: (± [\d.]+%|[−+][\d.]+% to [−+][\d.]+%) in nine cases of ten/,
  );
  // While another hour's range is computed, and in the dark, where there is none, the line keeps its place.
  const height = (await page.locator('.known .line').boundingBox())?.height;
  const box = await ribbon(page).boundingBox();
  if (box === null) throw new Error('the ribbon has no box');
  const clickAt = (share: number) => page.mouse.click(box.x + share * box.width, box.y + box.height / 2);
  await clickAt(0.01);
  await expect(line).toHaveCount(0);
  await expect(causes).toHaveCount(0);
  await expect.poll(async () => (await page.locator('.known .line').boundingBox())?.height).toBe(height);
  await clickAt(0.5);
  await expect(line).toBeVisible({ timeout: 60_000 });
  // It was open, and is again.
  await expect(causes.first()).toBeVisible();
  await line.click();
  await expect(causes).toHaveCount(0);
});

test('on a phone, what the light depends on rises into sight', async ({ shown: page }) => {
  await page.setViewportSize({ width: 390, height: 844 });
  await page.getByRole('button', { name: /in nine cases of ten/ }).click({ timeout: 60_000 });
  await expect(page.locator('#depends-on li').first()).toBeInViewport({ ratio: 1 });
  await page.getByRole('button', { name: /in nine cases of ten/ }).click();
  await page.getByRole('button', { name: 'Lower the figures' }).click();
});

test('two glasses of one name in the list of what the light depends on', async ({ page }) => {
  const errors: string[] = [];
  page.on('pageerror', (error) => errors.push(error.message));
  await open(page);
  const scene = JSON.parse(await demoText(FIRST_DEMO));
  const own = (level: number) => ({
    name: 'Sheet from the loft',
    family: 'blue',
    colour: { internal: { thickness_mm: 3, samples: Array.from({ length: 81 }, (_, k) => level + 0.004 * k) } },
    provenance: 'photographed',
  });
  scene.glasses = { one: own(0.2), two: own(0.5) };
  scene.variants = [];
  for (const [k, piece] of scene.windows[0].pieces.entries()) {
    piece.makeup = { plates: [{ glass: k % 2 === 0 ? 'one' : 'two', thickness_mm: 3 }] };
  }
  const buffer = Buffer.from(JSON.stringify(scene));
  await page.locator('input[type=file]').setInputFiles({ name: 'loft.json', mimeType: 'application/json', buffer });
  const line = page.getByRole('button', { name: /in nine cases of ten/ });
  await expect(line).toBeVisible({ timeout: 60_000 });
  await line.click();
  await expect(page.locator('#depends-on li').filter({ hasText: 'spectrum of Sheet from the loft,' })).toHaveCount(2);
  expect(errors).toEqual([]);
});

test(
  'dragging the hour changes time, window and figures, as one edit',
  { tag: '@picture' },
  async ({ shown: page }) => {
    await settled(page);
    const before = {
      minute: await minuteShown(page),
      lux: await valueOf(page, 'total_lx'),
      pixels: await windowPixels(page),
    };
    const box = await ribbon(page).boundingBox();
    if (box === null) throw new Error('the ribbon has no box');
    const y = box.y + box.height / 2;
    await page.mouse.move(box.x + (box.width * before.minute) / 1440, y);
    await page.mouse.down();
    for (let step = 0; step <= 10; step += 1) await page.mouse.move(box.x + box.width * (0.7 - 0.02 * step), y);
    await page.mouse.up();
    await settled(page);
    expect(Math.abs((await minuteShown(page)) - 720)).toBeLessThanOrEqual(5);
    expect(await valueOf(page, 'total_lx')).not.toBe(before.lux);
    expect(await windowPixels(page)).not.toBe(before.pixels);

    await page.keyboard.press('Control+z');
    await settled(page);
    expect(await minuteShown(page)).toBe(before.minute);
    expect(await valueOf(page, 'total_lx')).toBe(before.lux);
    await expect(page.getByRole('button', { name: 'Undo' })).toBeDisabled();
    expect(await windowPixels(page)).toBe(before.pixels);
  },
);

test('keys step the hour and go to sunrise and sunset', async ({ shown: page }) => {
  await dayIsReady(page);
  const start = await minuteShown(page);
  await ribbon(page).focus();
  await page.keyboard.press('ArrowLeft');
  expect(await minuteShown(page)).toBe(start - 15);
  await page.keyboard.press('Shift+ArrowRight');
  expect(await minuteShown(page)).toBe(start - 14);
  await page.keyboard.press('Home');
  const [sunrise, sunset] = await Promise.all(
    ['.mark.rise', '.mark.set'].map(async (mark) => (await page.locator(mark).innerText()).match(/\d+:\d+/)?.[0]),
  );
  await expect(ribbon(page)).toHaveAttribute('aria-valuetext', new RegExp(`^${sunrise},`));
  await page.keyboard.press('End');
  await expect(ribbon(page)).toHaveAttribute('aria-valuetext', new RegExp(`^${sunset},.*sun`));
  await settled(page);
});

test('another day, place and demo have other figures', async ({ shown: page }) => {
  const first = await valueOf(page, 'total_lx');
  const date = page.getByLabel('Date', { exact: true });
  const was = await date.inputValue();
  await page.getByRole('button', { name: 'Next day' }).click();
  expect(await date.inputValue()).not.toBe(was);
  await settled(page);
  await dayIsReady(page);
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(first);
  await page.keyboard.press('Control+z');
  await expect.poll(() => valueOf(page, 'total_lx')).toBe(first);

  await page.getByLabel('Viewing position', { exact: true }).selectOption({ index: 1 });
  await expect.poll(() => valueOf(page, 'total_lx')).not.toBe(first);

  const name = await page.getByRole('heading', { level: 1 }).innerText();
  await openDemo(page, 'small-rose');
  await expect(page.getByRole('heading', { level: 1 })).not.toHaveText(name);
  await expect(figure(page, 'total_lx')).toBeVisible();
});

test('the caution that the sun stands in the eyes stays in sight, once', async ({ shown: page }) => {
  const caution = page.getByText(/can injure/).filter({ visible: true });
  // Not what is read out.
  const said = caution.and(page.locator('.warning'));
  await page.getByLabel('Viewing position', { exact: true }).selectOption("bench, in the sun's path");
  await expect(said).toHaveCount(1);
  await expect(said).toBeInViewport({ ratio: 1 });
  await page.getByRole('button', { name: /Change place and light$/ }).click();
  await expect(said).toBeInViewport({ ratio: 1 });
  await page.setViewportSize({ width: 390, height: 844 });
  await expect(said).toBeInViewport({ ratio: 1 });
  await page.getByRole('button', { name: 'Lower the figures' }).click();
  await expect(said).toBeInViewport({ ratio: 1 });
  await expect(said).toHaveCount(1);
});

test('a day on which the clocks change shows its own hours only', async ({ shown: page }) => {
  const date = page.getByLabel('Date', { exact: true });
  for (const day of ['2027-03-27', '2027-03-28']) {
    await date.fill(day);
    await date.press('Enter');
    await settled(page);
    await dayIsReady(page);
  }
  const starts = await page.locator('.slivers rect').evaluateAll((all) => all.map((r) => Number(r.getAttribute('x'))));
  const byDay = starts.filter((x) => x >= 540 && x < 900);
  // 96 instants of 23 hours: one every 14.4 minutes.
  expect(byDay.length).toBeGreaterThan(23);
  expect(byDay.length).toBeLessThan(27);
});

test('a date is typed as the page writes it, and a half-typed year is not applied', async ({ shown: page }) => {
  const date = page.getByLabel('Date', { exact: true });
  const was = await page.locator('[data-at]').getAttribute('data-at');
  await date.fill('0202-06-21');
  await date.press('Enter');
  await expect(page.getByRole('alert')).toContainText('Expected a date from 1800 to 2200');
  await expect(page.locator('[data-at]')).toHaveAttribute('data-at', was ?? '');
  // What was typed stays, and the message names it.
  await expect(date).toHaveValue('0202-06-21');
  for (const typed of ['1 Jan 1200', '1 Jan 9999', 'soon']) {
    await date.fill(typed);
    await date.press('Tab');
    await expect(page.getByRole('alert')).toContainText(`found “${typed}”`);
    await expect(page.getByRole('alert')).toContainText('from 1800 to 2200');
    await expect(date).toHaveValue(typed);
  }
  await date.fill('30 February 2027');
  await date.press('Enter');
  await expect(page.getByRole('alert')).toHaveText(
    '30 February 2027 does not exist: the last day of that month is 28 February 2027. The date has not changed.',
  );
  await expect(date).toHaveValue('30 February 2027');
  await expect(page.locator('[data-at]')).toHaveAttribute('data-at', was ?? '');
  // Escape shows the date of the light again.
  await date.press('Escape');
  await expect(date).toHaveValue(new RegExp((was ?? '').slice(0, 4)));
  await expect(page.getByRole('alert')).toHaveCount(0);
  await expect(page.getByRole('button', { name: 'Undo' })).toBeDisabled();
  await date.fill('21/6/2027');
  await date.press('Enter');
  await expect(page.locator('[data-at]')).toHaveAttribute('data-at', /^2027-06-21T/);
  // The field and the sentence beside it match.
  await expect(date).toHaveValue('21 Jun 2027');
  await expect(page.locator('.sentence')).toContainText('21 June 2027');
  await expect(page.getByRole('alert')).toHaveCount(0);
  await date.press('ArrowUp');
  await expect(date).toHaveValue('22 Jun 2027');
});

test('an hour is typed as people write times; wrong text keeps the hour shown', async ({ shown: page }) => {
  const time = page.getByLabel('Time', { exact: true });
  const shownAt = page.locator('[data-at]');
  for (const [typed, at] of [
    ['3 pm', '15:00'],
    ['0930', '09:30'],
    ['14.05', '14:05'],
    ['15:00', '15:00'],
  ] as const) {
    await time.fill(typed);
    await time.press('Enter');
    await expect(shownAt).toHaveAttribute('data-at', new RegExp(`T${at}`));
    await expect(time).toHaveValue(at);
  }
  expect(await minuteShown(page)).toBe(900);
  await expect(page.locator('.sentence')).toContainText('15:00');
  await time.fill('25:00');
  await time.press('Enter');
  await expect(page.getByRole('alert')).toContainText('Expected a time from 00:00 to 23:59');
  await expect(page.getByRole('alert')).toContainText('found “25:00”');
  await expect(shownAt).toHaveAttribute('data-at', /T15:00/);
  await time.press('Escape');
  await expect(time).toHaveValue('15:00');
  await expect(page.getByRole('alert')).toHaveCount(0);
});

test('a typed hour that the clocks skip or repeat says so', async ({ shown: page }) => {
  const time = page.getByLabel('Time', { exact: true });
  const go = async (field: Locator, text: string): Promise<void> => {
    await field.fill(text);
    await field.press('Enter');
  };
  await go(page.getByLabel('Date', { exact: true }), '28/3/2027');
  await go(time, '1:30');
  const ribbonNote = page.locator('.ribbon .clocks');
  await expect(ribbonNote).toHaveText(/The clocks skip this time when they go forward/);
  await go(time, '2:30');
  await expect(ribbonNote).toBeEmpty();
  await go(page.getByLabel('Date', { exact: true }), '31/10/2027');
  await go(time, '1:30');
  await expect(ribbonNote).toHaveText(/This time comes twice, because the clocks go back/);
});

test('too dark to see colour, the reading gives no figures of colour', async ({ shown: page }) => {
  const reading = page.getByRole('region', { name: 'Light at the viewing position' });
  await expect(reading).toContainText('Colour temperature');
  const time = page.getByLabel('Time', { exact: true });
  await time.fill('0:30');
  await time.press('Enter');
  await settled(page);
  await expect(reading).toContainText('Too dark to see colour');
  for (const word of ['Colour temperature', 'Dominant', 'Δu′v′', 'Colour rendering']) {
    await expect(reading, word).not.toContainText(word);
  }
  await expect(reading).toContainText('Outside, on open ground');
});

test('undo takes back hour, date and glass in the order in which they were changed, from a field too', async ({
  shown: page,
}) => {
  const undo = page.getByRole('button', { name: /^Undo/ });
  const start = await minuteShown(page);
  await choosePiece(page);
  const thickness = page.getByLabel('Thickness', { exact: true });
  const was = await thickness.inputValue();
  await thickness.fill('7');
  await thickness.press('Enter');
  await expect(undo).toHaveAccessibleName(/^Undo: thickness/);
  const box = await ribbon(page).boundingBox();
  if (box === null) throw new Error('the ribbon has no box');
  await page.mouse.move(box.x + box.width * 0.4, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.45, box.y + box.height / 2, { steps: 4 });
  await page.mouse.up();
  const dragged = await minuteShown(page);
  await expect(undo).toHaveAccessibleName('Undo: hour');
  const time = page.getByLabel('Time', { exact: true });
  await time.fill('16:10');
  await time.press('Enter');
  expect(await minuteShown(page)).toBe(970);
  // The field has the focus, and nothing half-typed.
  await page.keyboard.press('Control+z');
  expect(await minuteShown(page)).toBe(dragged);
  await page.keyboard.press('Control+z');
  expect(await minuteShown(page)).toBe(start);
  await page.keyboard.press('Control+z');
  await expect(thickness).toHaveValue(was);
  await expect(undo).toBeDisabled();
  for (const minute of [start, dragged, 970]) {
    await page.keyboard.press('Control+Shift+z');
    expect(await minuteShown(page)).toBe(minute);
  }
  await expect(undo).toHaveAccessibleName('Undo: hour');
  // A half-typed text is the field's own to undo.
  await time.focus();
  await page.keyboard.type('1');
  await page.keyboard.press('Control+z');
  expect(await minuteShown(page)).toBe(970);
});

test('computing a day leaves the page responsive and lets an hour go first', async ({ shown: page }) => {
  const seen = await page.evaluate(() => {
    const working = (): boolean => document.querySelector('progress') !== null;
    const value = (name: string): string | null | undefined => document.querySelector(`[${name}]`)?.getAttribute(name);
    const slider = document.querySelector<HTMLElement>('[role=slider]');
    const next = [...document.querySelectorAll('button')].find((b) => b.textContent.includes('Next day'));
    const before = value('data-report-at');
    next?.click();
    // An hour requested during the day's computation is answered before the day is done, however fast either is.
    slider?.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowLeft', bubbles: true }));
    return new Promise<boolean>((resolve) => {
      new MutationObserver(() => {
        const answered = value('data-report-at');
        if (answered !== before && answered === value('data-at')) resolve(working());
      }).observe(document.body, { subtree: true, childList: true, attributes: true });
    });
  });
  expect(seen, 'the hour was answered while the day was still being computed').toBe(true);
});

test('the words around the window and in the ribbon stay apart, with a sunset after midnight too', async ({
  shown: page,
}) => {
  const words = page.locator(
    '.ribbon .text, .ribbon .date > *, .sentence > span, .note > *, .wall .tools p, .wall .tools button, .wall .corner .line > *',
  );
  const sizes = [
    [1440, 900],
    [1024, 768],
    [860, 600],
    [390, 844],
  ] as const;
  const check = async (): Promise<void> => {
    for (const [width, height] of sizes) {
      await page.setViewportSize({ width, height });
      await settled(page);
      await expect.poll(() => overlapping(words), { message: `${width} × ${height}` }).toEqual([]);
    }
  };
  await check();
  const scene = JSON.parse(await demoText(FIRST_DEMO));
  scene.site = { latitude_deg: 66, longitude_deg: 25.7, elevation_m: 10, time_zone: 'Europe/Helsinki' };
  scene.at = '2026-06-04T12:00';
  await page.locator('input[aria-label="Scene file"]').setInputFiles({
    name: 'north.json',
    mimeType: 'application/json',
    buffer: Buffer.from(JSON.stringify(scene)),
  });
  await expect(page.locator('.mark.set')).toContainText('00:14', { timeout: 60_000 });
  await dayIsReady(page);
  await check();
});
