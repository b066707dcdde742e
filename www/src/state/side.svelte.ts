// What is open beside the window. There is one panel at a time: opening one closes the other, and closing it shows what
// lies beneath. On a small screen the side is a sheet that rises with what is opened.

export const PLACE_PARTS = ['site', 'sky', 'position', 'room'] as const;
export type PlacePart = (typeof PLACE_PARTS)[number];

/** `glasses`: the list of glasses, over the section of the chosen pieces. */
type Panel = 'reading' | 'section' | 'glasses' | 'place';

class Side {
  panel = $state<Panel>('reading');
  /** Of place and light, which part was shown last. */
  part = $state<PlacePart>('site');
  risen = $state(false);

  /** What a panel that is closed leaves: the section while pieces are chosen. */
  beneath: () => Panel = () => 'reading';

  open(panel: Panel): void {
    this.panel = panel;
    this.risen = true;
  }

  /** Closes one of these panels, whichever is open; without any, the one that is. */
  close(...panels: Panel[]): void {
    if (panels.length === 0 || panels.includes(this.panel)) this.panel = this.beneath();
  }
}

export const side = new Side();
