// Addresses of screens.
import { expect, test } from 'vitest';
import { fragment, nameIn, screenAt } from '../../src/state/addresses';

test('a screen is named by the fragment, and by nothing else in it', () => {
  expect(nameIn('#/window')).toBe('window');
  expect(nameIn('#/window/')).toBe('window');
  expect(nameIn(fragment('new-window'))).toBe('new-window');
  for (const none of ['', '#', '#/', '#figures', '#/Window', '#/window/piece', '#/<b>'])
    expect(nameIn(none), none).toBe('');
});

test('an address of no screen shows the first one', () => {
  const screens: [{ address: string }, { address: string }] = [{ address: 'window' }, { address: 'room' }];
  expect(screenAt(screens, 'room').address).toBe('room');
  expect(screenAt(screens, 'attic').address).toBe('window');
  expect(screenAt(screens, '').address).toBe('window');
});
