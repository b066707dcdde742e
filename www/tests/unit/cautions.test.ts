// The cautions of the page.
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { NEVER_AT_THE_SUN, otherWarnings } from '../../src/state/cautions';

test('the caution about the sun is that of the README', () => {
  const readme = readFileSync(new URL('../../../README.md', import.meta.url), 'utf8');
  expect(readme).toContain(`- ${NEVER_AT_THE_SUN}\n`);
});

test('only the warning of the sun in the eyes is left out', () => {
  const low = 'sun below 5°: the sky’s level is blended into twilight, estimated';
  const sky = 'sky: its level is uncertain by ±15 % (one standard deviation)';
  const eyes = 'sun: 40 % of its disc is seen from here through the glass; looking at it can injure the eyes';
  expect(otherWarnings([low, eyes, sky])).toEqual([low, sky]);
});
