// Addresses of screens, as the fragment of the page’s own address.

/** The target of a link to a screen. */
export const fragment = (address: string): string => `#/${address}`;

/** The screen that a fragment names: `window` in `#/window`; empty if it names none. */
export function nameIn(hash: string): string {
  const found = /^#\/([a-z-]+)\/?$/.exec(hash);
  return found?.[1] ?? '';
}

/** The screen with an address, or the first one if no screen has it. */
export function screenAt<Screen extends { address: string }>(
  screens: readonly [Screen, ...Screen[]],
  address: string,
): Screen {
  return screens.find((screen) => screen.address === address) ?? screens[0];
}
