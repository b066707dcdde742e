// The panel open beside the window. There is one at a time: opening one closes the other, and closing it shows what
// lies beneath. On a small screen the side is a sheet that rises when a panel opens.

export const PLACE_PARTS = ['site', 'sky', 'around', 'wall', 'position', 'room'] as const;
export type PlacePart = (typeof PLACE_PARTS)[number];

/**
 * `glasses`: the list of glasses, over the section of the chosen pieces. `lines`: what should be looked at in the lines of
 * the window.
 */
type Panel = 'reading' | 'section' | 'glasses' | 'place' | 'lines';

class Side {
  panel = $state<Panel>('reading');
  /** The part of place and light shown last. */
  part = $state<PlacePart>('site');
  risen = $state(false);

  /** The panel beneath a closed one: the section while pieces are selected. */
  beneath: () => Panel = () => 'reading';

  open(panel: Panel): void {
    this.panel = panel;
    this.risen = true;
  }

  /** Closes the open panel if it is one of these; without arguments, whichever is open. */
  close(...panels: Panel[]): void {
    if (panels.length === 0 || panels.includes(this.panel)) this.panel = this.beneath();
  }
}

export const side = new Side();
