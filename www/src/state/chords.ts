// Keys as commands name them, such as `Mod+Shift+Z`, `Alt+ArrowLeft` or `?`. `Mod` is Ctrl, or Command on a Mac.

export type Chord = string;

/** The fields used of an event. */
export interface Pressed {
  key: string;
  ctrlKey: boolean;
  metaKey: boolean;
  shiftKey: boolean;
  altKey: boolean;
  getModifierState(name: string): boolean;
}

interface Parts {
  key: string;
  mod: boolean;
  shift: boolean;
  alt: boolean;
}

function partsOf(chord: Chord): Parts {
  const names = chord === '+' ? [] : chord.split('+').slice(0, -1);
  const key = chord === '+' ? '+' : (chord.split('+').at(-1) ?? '');
  return { key, mod: names.includes('Mod'), shift: names.includes('Shift'), alt: names.includes('Alt') };
}

const isLetter = (key: string): boolean => /^[a-z]$/i.test(key);

/** A single character without Ctrl, which speech input may trigger by accident. */
export function isSingle(chord: Chord): boolean {
  const { key, mod, alt } = partsOf(chord);
  return key.length === 1 && !mod && !alt;
}

export function matches(chord: Chord, event: Pressed): boolean {
  const { key, mod, shift, alt } = partsOf(chord);
  if (event.key.toLowerCase() !== key.toLowerCase()) return false;
  // The modifiers for a sign depend on the keyboard: `?` needs Shift on many, AltGr on others.
  const sign = key.length === 1 && !isLetter(key);
  if (sign && event.getModifierState('AltGraph')) return !mod;
  return (
    (event.ctrlKey || event.metaKey) === mod && event.altKey === alt && (sign && !mod ? true : event.shiftKey === shift)
  );
}

const WORDS: Record<string, string> = {
  ArrowLeft: 'Left',
  ArrowRight: 'Right',
  ArrowUp: 'Up',
  ArrowDown: 'Down',
  '-': '−',
};

/** In words as printed on the keys: `Ctrl Shift Z`. */
export function chordWords(chord: Chord, mac: boolean): string {
  const { key, mod, shift, alt } = partsOf(chord);
  const names = [...(mod ? [mac ? 'Cmd' : 'Ctrl'] : []), ...(alt ? ['Alt'] : []), ...(shift ? ['Shift'] : [])];
  return [...names, WORDS[key] ?? key].join(' ');
}

/** For `aria-keyshortcuts`. */
export function ariaChord(chord: Chord, mac: boolean): string {
  const { key, mod, shift, alt } = partsOf(chord);
  const names = [...(mod ? [mac ? 'Meta' : 'Control'] : []), ...(alt ? ['Alt'] : []), ...(shift ? ['Shift'] : [])];
  return [...names, key === '+' ? 'plus' : key].join('+');
}
