// The focus, when something that had it closes.
import type { Attachment } from 'svelte/attachments';

/** Called while a component is made: its element then gives the focus back to where it was, if it would be lost. */
export function returnFocus(): Attachment<HTMLElement> {
  const back = document.activeElement;
  return (element) => () => {
    const at = document.activeElement;
    if (at !== null && at !== document.body && !element.contains(at)) return;
    if (back instanceof HTMLElement && back.isConnected) back.focus();
  };
}
