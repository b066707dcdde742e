// What autosave says and hands over.
import { TakenElsewhere, type Head, type KeptScene } from '../engine/scene-store';

export type AutosaveState =
  | { state: 'as opened' }
  | { state: 'kept'; at: Date }
  | { state: 'saved'; at: Date }
  | { state: 'not kept'; why: string };

/** One quiet line with what can be done about it. */
export interface Line {
  words: string;
  actions: readonly { label: string; act: () => void }[];
}

/** What the page has that is to be kept. */
export interface Source {
  /** The document with its history, whole. */
  kept(): string;
  name(): string;
}

export interface Previous {
  head: Head;
  kept: string;
  /** Whether this tab had the right to write it. */
  held: boolean;
  /** Whether all of it is in this browser. */
  written: boolean;
}

/** A kept scene, and the function that releases its lock; null where another tab holds it. */
export interface Opened {
  scene: KeptScene;
  release: (() => void) | null;
  /** From memory: what is kept in the browser may be older, or nothing. */
  unwritten?: boolean;
}

/** Up to which action a scene went when it was taken for a file. */
export interface Place {
  id: string;
  seq: number;
}

export type Found = { kind: 'kept'; opened: Opened } | { kind: 'demo'; id: string };

/** Why something was not written, in the reader's words. */
export function reason(error: unknown): string {
  if (error instanceof TakenElsewhere) return 'open in another tab';
  const name = error instanceof DOMException ? error.name : '';
  if (name === 'QuotaExceededError') return 'this browser’s storage is full';
  if (name === 'VersionError') return 'a newer version of this page keeps its scenes here; reload';
  if (name === 'InvalidStateError' || name === 'SecurityError') return 'this browser keeps nothing for this page';
  return error instanceof Error && error.message !== '' ? error.message : String(error);
}
