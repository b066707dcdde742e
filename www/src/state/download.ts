// Handing a file to the browser's downloads, and what to call it.

/** A scene's name as the name of a file that every file system takes, without an ending. */
export function plainName(scene: string): string {
  const plain = scene
    .replace(/[^\p{L}\p{N} _-]+/gu, '')
    .trim()
    .slice(0, 80)
    .trim();
  return plain === '' ? 'scene' : plain;
}

/** Hands it to the browser to be kept. */
export function download(content: BlobPart, type: string, name: string): void {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // The browser has begun to read it by then.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
