// What touches only attachments touches neither light nor picture.
import type { ChangeSet } from './contract';

/** Whether an action touched attachments and nothing else. */
export const touchesOnlyAttachments = (changes: ChangeSet): boolean =>
  changes.attachments !== undefined && Object.keys(changes).length === 1;
