// The way from a piece in the window to its layers in the side and back, by keys.
import { tick } from 'svelte';
import { selection } from './selection.svelte';
import { side } from './side.svelte';

const focus = (what: string): boolean => {
  const found = document.querySelector<HTMLElement | SVGElement>(what);
  found?.focus();
  return found !== null;
};

class SectionFocus {
  /** The focus has come from the pieces. */
  entered = $state(false);

  /** Goes to the layer that is open, or to the first. */
  async enter(): Promise<void> {
    if (selection.section === null) return;
    if (side.panel !== 'section') side.open('section');
    side.risen = true;
    await tick();
    this.entered =
      focus('[data-keys="section"] .head[aria-expanded="true"]') || focus('[data-keys="section"] .head[aria-expanded]');
  }

  leave(): void {
    this.entered = false;
    focus('[data-keys="pieces"]');
  }
}

export const sectionFocus = new SectionFocus();
