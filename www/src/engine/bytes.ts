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

/** Whether a file is a ZIP. Its name does not matter. */
export async function isZip(file: Blob): Promise<boolean> {
  const [p, k, a, b] = new Uint8Array(await file.slice(0, 4).arrayBuffer());
  // The header of an entry, or the end of a ZIP without any (APPNOTE 6.3.10, 4.3.7 and 4.3.16).
  return p === 0x50 && k === 0x4b && ((a === 3 && b === 4) || (a === 5 && b === 6));
}
