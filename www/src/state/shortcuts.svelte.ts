// Single-character shortcuts that work anywhere on the page, such as ? and V. Users of speech input can switch them off
// (WCAG 2.2, 2.1.4); shortcuts with Ctrl or within a focused control stay on.
const KEY = 'clerestory.single-keys';

class Shortcuts {
  single = $state(true);

  constructor() {
    try {
      this.single = localStorage.getItem(KEY) !== 'off';
    } catch {
      // Without storage they are on.
    }
  }

  set(on: boolean): void {
    this.single = on;
    try {
      localStorage.setItem(KEY, on ? 'on' : 'off');
    } catch {
      // No storage: it applies until the page is closed.
    }
  }
}

export const shortcuts = new Shortcuts();
