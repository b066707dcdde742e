// Limits of the scene format that the page needs before its part for attachments is loaded. They are those of the crate
// `scene`, document/attachment.rs; a unit test compares them.
import { limitInWords } from './bytes';

/** Most attachments of a scene. */
export const MOST_ATTACHMENTS = 256;
/** Largest attachment, bytes. */
export const MOST_ATTACHMENT_BYTES = 64 * 2 ** 20;
/** All attachments of a scene together, bytes. */
export const MOST_ATTACHED_BYTES = 256 * 2 ** 20;

/** What is too much of files to attach to a scene that has some, in words; null if they all fit. */
export function tooMuch(attached: readonly { bytes: number }[], bytes: number): string | null {
  const total = attached.reduce((sum, one) => sum + one.bytes, bytes);
  if (attached.length >= MOST_ATTACHMENTS) return `a scene can have ${MOST_ATTACHMENTS} attachments at most`;
  if (total > MOST_ATTACHED_BYTES)
    return `all attachments together can be ${limitInWords(MOST_ATTACHED_BYTES)} at most`;
  return null;
}
