// The cautions of the page.
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { NEVER_AT_THE_SUN } from '../../src/state/cautions';

test('the caution about the sun is that of the README', () => {
  const readme = readFileSync(new URL('../../../README.md', import.meta.url), 'utf8');
  expect(readme).toContain(`- ${NEVER_AT_THE_SUN}\n`);
});
