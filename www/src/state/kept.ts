// Types of autosave, and its messages.
import { Blocked } from '../engine/database';
import { TakenElsewhere, type Head, type KeptScene } from '../engine/scene-store';

export type AutosaveState =
  | { state: 'unchanged' }
  | { state: 'kept'; at: Date }
  | { state: 'saved'; at: Date }
  | { state: 'not kept'; why: string };

/** One line of text, with actions. */
export interface Line {
  words: string;
  actions: readonly { label: string; act: () => void }[];
}

/** What the page gives to autosave. */
export interface Source {
  /** The complete document with its history. */
  kept(): string;
  name(): string;
  /** Hashes of the scene's attachments. */
  attached(): readonly string[];
}

export interface Previous {
  head: Head;
  kept: string;
  /** Whether this tab held the right to write it. */
  held: boolean;
  /** Whether it is completely kept in this browser, with its attachments. */
  written: boolean;
}

/** A kept scene, and the function that releases its lock; null if another tab holds the lock. */
export interface Opened {
  scene: KeptScene;
  release: (() => void) | null;
  /** From memory: what is kept in the browser may be older or missing. */
  unwritten?: boolean;
}

/** The last action of a scene when it was saved to a file. */
export interface Place {
  id: string;
  seq: number;
}

export type Found = { kind: 'kept'; opened: Opened } | { kind: 'demo'; id: string };

/** Why something was not written, in words for the user. */
export function reason(error: unknown): string {
  if (error instanceof TakenElsewhere) return 'open in another tab';
  if (error instanceof Blocked) return `${error.message}: close the other tabs of this page and reload`;
  const name = error instanceof DOMException ? error.name : '';
  if (name === 'QuotaExceededError') return 'this browser’s storage is full';
  if (name === 'VersionError') return 'a newer version of this page keeps its scenes here; reload';
  if (name === 'InvalidStateError' || name === 'SecurityError')
    return 'this browser does not store anything for this page';
  return error instanceof Error && error.message !== '' ? error.message : String(error);
}
