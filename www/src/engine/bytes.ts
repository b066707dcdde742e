// Lengths of files in words, and what kind of file one is by its first bytes.

/** A length that a reader can compare: 64 MB, 1.5 KB, 12 bytes. */
export function bytesInWords(bytes: number): string {
  if (bytes < 1000) return `${bytes} ${bytes === 1 ? 'byte' : 'bytes'}`;
  const [size, unit] = bytes < 2 ** 20 ? [bytes / 2 ** 10, 'KB'] : [bytes / 2 ** 20, 'MB'];
  return `${size.toLocaleString(undefined, { maximumFractionDigits: 1 })} ${unit}`;
}

/** Whether a file is a drawing for a new window, by its name or the type that the browser gives it. */
export const isDrawing = (file: { name: string; type: string }): boolean =>
  file.type === 'image/svg+xml' || file.name.toLowerCase().endsWith('.svg');

/** Whether a file begins as JSON does that holds an object. Its name does not matter. */
export async function beginsAsJson(file: Blob): Promise<boolean> {
  const text = new TextDecoder().decode(await file.slice(0, 1024).arrayBuffer()).trimStart();
  return text === '' || text.startsWith('{');
}
