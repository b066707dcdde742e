// Reads a file in a worker.
import { bytesInWords, limitInWords } from './bytes';
import { SceneFaults, messageOf } from './faults';

const refused = (path: string, expected: string, found: string): SceneFaults =>
  new SceneFaults([{ path, expected, found }]);

/** The bytes of a file of at most `most`; a longer one is refused before a byte of it is read. */
export async function bytesOf(file: File, most: number, what: string): Promise<Uint8Array<ArrayBuffer>> {
  if (file.size > most) {
    throw refused(file.name, `${what} of at most ${limitInWords(most)}`, bytesInWords(file.size));
  }
  try {
    return new Uint8Array(await file.arrayBuffer());
  } catch (error) {
    throw refused(file.name, 'a file that can be read', messageOf(error));
  }
}

/** The same as text. Bytes that are not UTF-8 are refused; otherwise they would silently become other characters. */
export async function textOf(file: File, most: number, what: string): Promise<string> {
  const bytes = await bytesOf(file, most, what);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    throw refused(file.name, `${what} as text in UTF-8`, 'other bytes');
  }
}
