// The colour of a piece in words and figures.
import { expect, test } from 'vitest';
import { colourWords } from '../../src/state/colour-words';

test('a colour has its name, its place and its wavelength', () => {
  const blue = { words: 'deep blue', lab: [28.4, 14.9, -52.2], transmittance_y: 0.06, dominant_nm: 464.3 };
  expect(colourWords({ ...blue, lab: [28.4, 14.9, -52.2], excitation_purity: 0.9 })).toBe(
    'Deep blue by standard daylight (D65): L* 28, a* 15, b* −52; dominant wavelength 464 nm',
  );
  expect(
    colourWords({ ...blue, words: 'purple', lab: [20, 30, -30], dominant_nm: -541, excitation_purity: 0.5 }),
  ).toContain('complementary wavelength 541 nm');
  expect(
    colourWords({ words: 'clear', lab: [100, 0, 0], transmittance_y: 1, dominant_nm: null, excitation_purity: null }),
  ).toBe('Clear by standard daylight (D65): L* 100, a* 0, b* 0');
});
