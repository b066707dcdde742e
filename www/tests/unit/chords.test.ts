// Keys as commands name them.
import { expect, test } from 'vitest';
import { ariaChord, chordWords, isSingle, matches, type Pressed } from '../../src/state/chords';

const press = (key: string, held = ''): Pressed => ({
  key,
  ctrlKey: held.includes('ctrl'),
  metaKey: held.includes('meta'),
  shiftKey: held.includes('shift'),
  altKey: held.includes('alt'),
  getModifierState: (name) => name === 'AltGraph' && held.includes('graph'),
});

test('letters respect Shift; Mod is Ctrl or Command', () => {
  expect(matches('V', press('v'))).toBe(true);
  expect(matches('V', press('V', 'shift'))).toBe(false);
  expect(matches('Shift+V', press('V', 'shift'))).toBe(true);
  for (const held of ['ctrl', 'meta']) expect(matches('Mod+Z', press('z', held))).toBe(true);
  expect(matches('Mod+Z', press('Z', 'ctrl shift'))).toBe(false);
  expect(matches('Mod+Shift+Z', press('Z', 'ctrl shift'))).toBe(true);
  // The letter alone is another command.
  expect(matches('C', press('c', 'ctrl'))).toBe(false);
  expect(matches('Mod+C', press('c'))).toBe(false);
});

test('signs match with whatever modifiers the keyboard needs', () => {
  expect(matches('?', press('?', 'shift'))).toBe(true);
  expect(matches('?', press('?', 'ctrl alt graph'))).toBe(true);
  expect(matches('+', press('+', 'shift'))).toBe(true);
  expect(matches('+', press('+', 'ctrl'))).toBe(false);
  expect(matches('-', press('-'))).toBe(true);
});

test('named keys', () => {
  expect(matches('Escape', press('Escape'))).toBe(true);
  expect(matches('Alt+ArrowLeft', press('ArrowLeft', 'alt'))).toBe(true);
  expect(matches('Alt+ArrowLeft', press('ArrowLeft'))).toBe(false);
});

test('only a character by itself is single', () => {
  expect(['?', 'V', 'Shift+V', '+'].map(isSingle)).toEqual([true, true, true, true]);
  expect(['Mod+Z', 'Escape', 'Alt+ArrowUp'].map(isSingle)).toEqual([false, false, false]);
});

test('in words, and for assistive tools', () => {
  expect(chordWords('Mod+Shift+Z', false)).toBe('Ctrl Shift Z');
  expect(chordWords('Mod+Z', true)).toBe('Cmd Z');
  expect(chordWords('Alt+ArrowUp', false)).toBe('Alt Up');
  expect([chordWords('+', false), chordWords('-', false)]).toEqual(['+', '−']);
  expect(ariaChord('Mod+Shift+Z', true)).toBe('Meta+Shift+Z');
  expect(ariaChord('+', false)).toBe('plus');
});
