// The list of screens. A new screen is a line here: the navigation, its address and its place in the frame follow.
import type { Component } from 'svelte';
import WindowSide from './parts/WindowSide.svelte';
import WindowView from './parts/WindowView.svelte';

export interface Screen {
  id: string;
  /** Its name in the navigation. */
  name: string;
  /** The address, in lower-case letters and hyphens. */
  address: string;
  component: Component;
  /** Whether the screen depends on the hour. */
  hasRibbon: boolean;
  side: Component | null;
}

export const SCREENS: readonly [Screen, ...Screen[]] = [
  { id: 'window', name: 'Window', address: 'window', component: WindowView, hasRibbon: true, side: WindowSide },
];
