// What is pressed must not move away from under the pointer: a press takes the focus from a field before it reaches a
// button, and what the field then says would move the button. So it is said once the pointer is released.
import { untrack } from 'svelte';

const PRESSES = ['pointerdown', 'mousedown'] as const;
/** A key tells that a release was missed, as one outside the window is. */
const RELEASES = ['pointerup', 'pointercancel', 'mouseup', 'dragend', 'drop', 'keydown'] as const;

class Press {
  /** Whether a pointer is pressed. */
  down = $state(false);
  #waiting: (() => void)[] = [];
  #release: ReturnType<typeof setTimeout> | undefined;

  /** Listens on the page; returns the function that stops listening. */
  listen(): () => void {
    const press = (event: MouseEvent): void => {
      // Only the first button takes the focus and clicks.
      if (event.button !== 0) return;
      clearTimeout(this.#release);
      this.down = true;
    };
    const release = (): void => {
      // After the click, which follows at once.
      clearTimeout(this.#release);
      this.#release = setTimeout(() => this.#end());
    };
    const left = ({ target }: Event): void => {
      if (target === window) release();
    };
    const moved = ({ buttons }: PointerEvent): void => {
      if (buttons === 0 && this.down) release();
    };
    for (const name of PRESSES) addEventListener(name, press, true);
    for (const name of RELEASES) addEventListener(name, release, true);
    addEventListener('blur', left);
    addEventListener('pointermove', moved, true);
    return () => {
      for (const name of PRESSES) removeEventListener(name, press, true);
      for (const name of RELEASES) removeEventListener(name, release, true);
      removeEventListener('blur', left);
      removeEventListener('pointermove', moved, true);
    };
  }

  /** An answer, but not before the pointer is released. */
  async answered<T>(answer: Promise<T>): Promise<T> {
    try {
      return await answer;
    } finally {
      if (this.down) await new Promise<void>((resolve) => this.#waiting.push(resolve));
    }
  }

  #end(): void {
    this.down = false;
    for (const resolve of this.#waiting.splice(0)) resolve();
  }
}

export const press = new Press();

/** What is read, except that it stays while a pointer is pressed. Made while a component is. */
export function steady<T>(read: () => T): { readonly current: T } {
  let current = $state.raw(untrack(read));
  $effect.pre(() => {
    const next = read();
    if (!press.down) current = next;
  });
  return {
    get current() {
      return current;
    },
  };
}
