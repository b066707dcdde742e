// Lengths of files in words, and what kind of file one is by its first bytes.

function inWords(bytes: number, round: (tenths: number) => number): string {
  if (bytes < 1000) return `${bytes} ${bytes === 1 ? 'byte' : 'bytes'}`;
  // Rounded up, 999 950 bytes are a megabyte.
  const [tenth, unit] = round(bytes / 100) < 1e4 ? [100, 'kB'] : [1e5, 'MB'];
  return `${(round(bytes / tenth) / 10).toLocaleString(undefined, { maximumFractionDigits: 1 })} ${unit}`;
}

/**
 * The length of a file, decimal: 64 MB, 1.5 kB, 12 bytes. Rounded up, so that a file beyond a limit never reads as the
 * limit itself. The crate `scene` words it alike.
 */
export const bytesInWords = (bytes: number): string => inWords(bytes, Math.ceil);

/** The most that a file may have: 67.1 MB. Rounded down, so that a file of what is written fits. */
export const limitInWords = (bytes: number): string => inWords(bytes, Math.floor);

/** Whether a file is a drawing for a new window, by its name or the type that the browser gives it. */
export const isDrawing = (file: { name: string; type: string }): boolean =>
  file.type === 'image/svg+xml' || file.name.toLowerCase().endsWith('.svg');

/** Whether a file is a picture or a document of another kind, by the type that the browser gives it. */
export const isPicture = (file: { name: string; type: string }): boolean =>
  !isDrawing(file) && (file.type.startsWith('image/') || file.type === 'application/pdf');

/** Whether a file begins as JSON does that holds an object. Its name does not matter. */
export async function beginsAsJson(file: Blob): Promise<boolean> {
  const text = new TextDecoder().decode(await file.slice(0, 1024).arrayBuffer()).trimStart();
  return text === '' || text.startsWith('{');
}
