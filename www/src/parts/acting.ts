// The attributes of a button that runs a command.
import type { HTMLButtonAttributes } from 'svelte/elements';
import { ariaChord } from '../state/chords';
import { command, inFull, isAllowed, type CommandId } from '../state/commands';
import { MAC } from '../state/keyboard';

interface Options {
  /** The visible text is a sign or shorter than the name, so the name is spoken. */
  spoken?: boolean;
  /** Wraps the action, such as closing the menu first. */
  after?: (action: () => void) => () => void;
}

export function acting(
  id: CommandId,
  { spoken = false, after = (action) => action }: Options = {},
): HTMLButtonAttributes {
  const it = command(id);
  const full = inFull(it);
  return {
    type: 'button',
    disabled: !isAllowed(it),
    'aria-keyshortcuts': it.keys?.map((chord) => ariaChord(chord, MAC)).join(' '),
    'aria-label': spoken ? full : undefined,
    title: spoken && full !== it.name ? full : undefined,
    onclick: after(() => it.run()),
  };
}
