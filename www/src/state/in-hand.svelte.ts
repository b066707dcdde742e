// What is in the hand (a needle, a point, a slider) is shown before it is the scene's.
import { onDestroy, untrack } from 'svelte';
import type { Edit } from '../engine/contract';
import { studio } from './studio.svelte';

/** For a component while it is set up: shows the edit that letting go would make; null where nothing is held. */
export function showInHand(edit: () => Edit | null): void {
  $effect(() => {
    const held = edit();
    untrack(() => (held === null ? studio.endPreview() : studio.preview(held)));
  });
  // What is in the hand when the component goes is let go, unless its own clean-up has made it an edit.
  onDestroy(() => queueMicrotask(() => studio.endPreview()));
}
