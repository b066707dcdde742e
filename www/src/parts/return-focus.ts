// The focus, when something that had it closes.
import type { Attachment } from 'svelte/attachments';

/**
 * Called while a component is made: its element then gives the focus back to where it was, if it would be lost; if it was
 * nowhere, or that is gone, to what `otherwise` selects.
 */
export function returnFocus(otherwise?: string): Attachment<HTMLElement> {
  const back = document.activeElement;
  return (element) => () => {
    const at = document.activeElement;
    if (at !== null && at !== document.body && !element.contains(at)) return;
    if (back instanceof HTMLElement && back !== document.body && back.isConnected) back.focus();
    else if (otherwise !== undefined)
      document.querySelector<SVGElement | HTMLElement>(otherwise)?.focus({ preventScroll: true });
  };
}
