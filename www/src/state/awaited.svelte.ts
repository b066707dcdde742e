// An answer that has been asked for and has not come: whether it is late enough to mark what is shown meanwhile.

/** An answer that comes sooner shows nothing on its way, so that nothing flickers, ms. */
const LATE_MS = 400;

export class Awaited {
  waiting = $state(false);
  late = $state(false);

  #timer: ReturnType<typeof setTimeout> | undefined;

  /** Another answer has been asked for; the time runs from the first that is still to come. */
  begin(): void {
    if (this.waiting) return;
    this.waiting = true;
    this.#start();
  }

  /** An answer has come; not the last one, if something else has been asked for since. */
  came(last: boolean): void {
    if (last) this.end();
    else if (this.waiting) this.#start();
  }

  /** Nothing is waited for any more. */
  end(): void {
    clearTimeout(this.#timer);
    this.waiting = false;
    this.late = false;
  }

  #start(): void {
    clearTimeout(this.#timer);
    this.late = false;
    this.#timer = setTimeout(() => (this.late = true), LATE_MS);
  }
}
