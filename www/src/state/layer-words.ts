// What a layer of a section is like, in words.
import type { Layer } from '../engine/contract';
import { decimals, share } from './numbers';
import { thicknessMm } from './units';

const lowest = (value: number): string => decimals(value, Number.isInteger(value * 10) ? 1 : 2);

/** What a layer is like, in a few words; `pieces`: how many the section is of. */
export function layerWords(layer: Layer, pieces: number): string {
  const { values } = layer;
  const words: string[] = [];
  if (layer.kind === 'glass') {
    words.push(values.thickness_mm == null ? 'thickness differs' : thicknessMm(values.thickness_mm));
    if (layer.detail !== '') words.push(layer.detail);
  } else if (layer.kind === 'protective') {
    if (values.thickness_mm != null) words.push(thicknessMm(values.thickness_mm));
    words.push(values.dirt ? `dirt takes ${share(values.dirt)}` : 'clean');
  } else if (layer.kind === 'deposit') {
    words.push(values.face === 'outside' ? 'outside' : 'inside');
    if (values.loss == null) words.push('loss differs');
    else words.push(values.loss > 0 ? `takes ${share(values.loss)}` : 'clean');
  } else if (layer.kind === 'flash') {
    if (values.flash_left == null) words.push('etching differs');
    else if (values.flash_left >= 1) words.push('not etched');
    else words.push(values.flash_left <= 0 ? 'etched away' : `etched to ${share(values.flash_left)}`);
  } else if (layer.kind === 'paint') {
    words.push(values.density == null ? 'density differs' : densityWords(values.density, layer));
    if (values.coverage == null) words.push('cover differs');
    else if (values.coverage < 1) words.push(`covers ${share(values.coverage)}`);
    words.push(values.firing == null ? 'firing differs' : `firing ${values.firing}`);
  } else if (layer.detail !== '') words.push(layer.detail);
  if (layer.in < pieces) words.push(`in ${layer.in} of ${pieces}`);
  return words.join(', ');
}

/** States the wavelengths: grey paint has the same density at all of them, other paints do not. */
function densityWords(density: number, { values: { kind } }: Layer): string {
  const words = `density ${lowest(density)}`;
  if (kind == null || typeof kind === 'string') return words;
  return `${words} ${'stain' in kind ? 'in the blue' : 'where it is deepest'}`;
}
