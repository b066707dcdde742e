// Downloads, and the names of their files.

/** A scene's name as a file name that every file system accepts, without an extension. */
export function plainName(scene: string): string {
  const plain = scene
    .replace(/[^\p{L}\p{N} _-]+/gu, '')
    .trim()
    .slice(0, 80)
    .trim();
  return plain === '' ? 'scene' : plain;
}

/** Starts a download in the browser. */
export function download(content: BlobPart, type: string, name: string): void {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  // By then the browser has begun to read it.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
