// Addresses of screens.
import { expect, test } from 'vitest';
import { fragment, nameIn, screenAt } from '../../src/state/addresses';

test('the fragment names the screen', () => {
  expect(nameIn('#/window')).toBe('window');
  expect(nameIn('#/window/')).toBe('window');
  expect(nameIn(fragment('new-window'))).toBe('new-window');
  for (const none of ['', '#', '#/', '#figures', '#/Window', '#/window/piece', '#/<b>'])
    expect(nameIn(none), none).toBe('');
});

test('an unknown address shows the first screen', () => {
  const screens: [{ address: string }, { address: string }] = [{ address: 'window' }, { address: 'room' }];
  expect(screenAt(screens, 'room').address).toBe('room');
  expect(screenAt(screens, 'attic').address).toBe('window');
  expect(screenAt(screens, '').address).toBe('window');
});
