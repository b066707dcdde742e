// The caption below a saved picture: the scene, and where and when it is seen. The browser sets the words; they are
// added to the file as rows of pixels, so that its colour space stays what the module writes.
import { dateWords, timeWords } from './civil';
import { clock } from './clock.svelte';
import { scene } from './scene.svelte';
import { capital, localised } from './sentence';
import { viewpoint } from './viewpoint.svelte';

const GROUND = '#151515';
const STRONG = '#ffffff';
const QUIET = '#a3a3a3';
/** Sizes as shares of the picture's width. */
const SIZE = 0.02;
const MARGIN = 0.03;
/** Smaller letters cannot be read, px. */
const LEAST_PX = 8;

interface Words {
  title: string;
  details: string;
}

/** The scene with its variant; the viewing position, hour, date, clock and sky. */
export function captionWords(): Words {
  const { overview } = scene;
  const shown = overview?.shown ?? null;
  const title = `${overview?.name ?? ''}${shown === null ? '' : `, ${shown}`}`;
  const when = `${timeWords(clock.civil)}, ${dateWords(clock.civil.date)}, ${overview?.time_zone ?? ''}`;
  const from = viewpoint.placeName === '' ? [] : [`Seen from: ${viewpoint.placeName}`];
  const details = [...from, when, capital(localised(overview?.sky ?? ''))].map((part) => `${part}.`).join(' ');
  return { title, details };
}

/** Words in lines that are at most `width` wide; a longer word has a line of its own. */
function wrapped(context: OffscreenCanvasRenderingContext2D, words: string, width: number): string[] {
  const lines: string[] = [];
  for (const word of words.split(' ')) {
    const line = lines.at(-1);
    const longer = `${line ?? ''} ${word}`;
    if (line !== undefined && context.measureText(longer).width <= width) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

/** The caption as rows of RGBA, `widthPx` wide, for the end of a picture; null without a canvas to draw it on. */
export async function captionRows({ title, details }: Words, widthPx: number): Promise<Uint8Array | null> {
  const px = Math.max(LEAST_PX, widthPx * SIZE);
  const margin = Math.round(widthPx * MARGIN);
  const parts = [
    { words: title, font: `italic 400 ${1.4 * px}px Spectral, Georgia, serif`, fill: STRONG, height: 1.9 * px },
    {
      words: details,
      font: `400 ${px}px 'Atkinson Hyperlegible Next', system-ui, sans-serif`,
      fill: QUIET,
      height: 1.5 * px,
    },
  ];
  // Without its font the caption is set in the next one.
  await Promise.allSettled(parts.map(({ font, words }) => document.fonts.load(font, words)));
  const measure = new OffscreenCanvas(1, 1).getContext('2d');
  if (measure === null) return null;
  const lines = parts.flatMap(({ words, font, fill, height }) => {
    measure.font = font;
    return wrapped(measure, words, widthPx - 2 * margin).map((line) => ({ line, font, fill, height }));
  });
  const text = lines.reduce((sum, { height }) => sum + height, 0);
  const heightPx = Math.ceil(text + 2 * margin);
  const context = new OffscreenCanvas(widthPx, heightPx).getContext('2d');
  if (context === null) return null;
  context.fillStyle = GROUND;
  context.fillRect(0, 0, widthPx, heightPx);
  context.textBaseline = 'middle';
  let top = margin;
  for (const { line, font, fill, height } of lines) {
    context.font = font;
    context.fillStyle = fill;
    context.fillText(line, margin, top + height / 2);
    top += height;
  }
  const { data } = context.getImageData(0, 0, widthPx, heightPx);
  // Some browsers smooth letters in colour for the subpixels of one screen; a file is for any.
  for (let i = 0; i < data.length; i += 4) data[i] = data[i + 2] = data[i + 1] ?? 0;
  return new Uint8Array(data.buffer, data.byteOffset, data.byteLength);
}
