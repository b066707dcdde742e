// The one place where a key becomes a command. Keys that a control has handled itself never arrive here.
import { isSingle, matches, type Chord } from './chords';
import { COMMANDS, isAllowed, type Command } from './commands';
import { closeLast } from './escape';
import { shortcuts } from './shortcuts.svelte';

export const MAC = /Mac|iPhone|iPad/.test(navigator.platform);

const WITHOUT_TEXT = new Set(['radio', 'date', 'checkbox', 'range', 'button', 'file']);

const isTyping = (target: EventTarget | null): target is HTMLElement =>
  target instanceof HTMLTextAreaElement || (target instanceof HTMLInputElement && !WITHOUT_TEXT.has(target.type));

/** Fields that apply their text to the scene say whether they have. */
const isApplied = (field: HTMLElement): boolean => field.dataset['applied'] === 'true';

function applies(command: Command, chord: Chord, target: EventTarget | null): boolean {
  if (isTyping(target) && command.inFields !== 'always') {
    if (command.inFields === undefined || !isApplied(target)) return false;
  }
  if (command.scope === undefined) return shortcuts.single || !isSingle(chord);
  return target instanceof Element && target.closest(`[data-keys~="${command.scope}"]`) !== null;
}

export function onkeydown(event: KeyboardEvent): void {
  if (event.defaultPrevented || document.querySelector('dialog[open]') !== null) return;
  if (event.key === 'Escape' && closeLast()) {
    event.preventDefault();
    return;
  }
  const meant = COMMANDS.filter((command) =>
    command.keys?.some((chord) => matches(chord, event) && applies(command, chord, event.target)),
  );
  // Without anything to do, the keys must still not have the browser's own effect, except for copying.
  const command = meant.find(isAllowed);
  if (command !== undefined || meant.some(({ group }) => group !== 'layers' && event.key !== 'Escape')) {
    event.preventDefault();
  }
  command?.run();
}
