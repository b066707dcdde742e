// The colour that a piece transmits by standard daylight, as a sentence.
import type { TransmittedColour } from '../engine/contract';
import { whole } from './numbers';
import { capital } from './sentence';

/** `Deep blue by standard daylight (D65): L* 28, a* 15, b* −52; dominant wavelength 464 nm`. */
export function colourWords({ words, lab, dominant_nm: nm }: TransmittedColour): string {
  const [l, a, b] = lab.map((value) => whole(value).replace('-', '−'));
  const place = `${capital(words)} by standard daylight (D65): L* ${l}, a* ${a}, b* ${b}`;
  if (nm === null) return place;
  return `${place}; ${nm < 0 ? 'complementary' : 'dominant'} wavelength ${whole(Math.abs(nm))} nm`;
}
