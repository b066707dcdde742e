// Keys that act by themselves anywhere on the page, such as ? and V. Who speaks to the machine, or strikes keys by
// accident, can switch them off (WCAG 2.2, 2.1.4); what needs Ctrl or a focus stays.
const KEY = 'clerestory.single-keys';

class Shortcuts {
  single = $state(true);

  constructor() {
    try {
      this.single = localStorage.getItem(KEY) !== 'off';
    } catch {
      // No storage: they are on until the page is closed.
    }
  }

  set(on: boolean): void {
    this.single = on;
    try {
      localStorage.setItem(KEY, on ? 'on' : 'off');
    } catch {
      // It holds until the page is closed.
    }
  }
}

export const shortcuts = new Shortcuts();
