// Printing from the page's own command: the whole window, however much of it is in sight.
import { tick } from 'svelte';
import { wallView } from './view.svelte';

/** Longest wait for the picture of the whole window, ms; after it the part that is drawn is printed, and called that. */
const MOST_MS = 10_000;

/** Opens the browser's print dialog. */
export async function printSheet(): Promise<void> {
  if (!wallView.near) {
    window.print();
    return;
  }
  const back = wallView.hold();
  wallView.reset();
  await isDrawn();
  window.print();
  back();
}

/** Resolves once the picture asked for last is on the screen. */
async function isDrawn(): Promise<void> {
  const latest = performance.now() + MOST_MS;
  await tick();
  do await new Promise(requestAnimationFrame);
  while (document.documentElement.dataset['drawn'] === undefined && performance.now() < latest);
}
