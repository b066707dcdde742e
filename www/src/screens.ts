// The screens that there are. A new one is a line here: the name line’s list, its address and its place in the frame
// follow.
import type { Component } from 'svelte';
import WindowSide from './parts/WindowSide.svelte';
import WindowView from './parts/WindowView.svelte';

export interface Screen {
  id: string;
  /** As the name line says it. */
  name: string;
  /** Lower-case letters and hyphens. */
  address: string;
  component: Component;
  /** Whether the hour matters there. */
  hasRibbon: boolean;
  side: Component | null;
}

export const SCREENS: readonly [Screen, ...Screen[]] = [
  { id: 'window', name: 'Window', address: 'window', component: WindowView, hasRibbon: true, side: WindowSide },
];
