// Dragging along a strip of time: the hours of the day, the dates of the year.

export class Scrub {
  dragging = $state(false);

  /** `show`: the position under the pointer, 0–1 along the strip; `done`: the drag has ended. */
  constructor(
    private readonly show: (share: number, event: PointerEvent) => void,
    private readonly done: () => void,
  ) {}

  readonly onpointerdown = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    this.dragging = true;
    (event.currentTarget as HTMLElement).setPointerCapture(event.pointerId);
    this.#under(event);
  };

  readonly onpointermove = (event: PointerEvent): void => {
    if (this.dragging) this.#under(event);
  };

  readonly onpointerend = (): void => {
    if (!this.dragging) return;
    this.dragging = false;
    this.done();
  };

  #under(event: PointerEvent): void {
    const frame = (event.currentTarget as HTMLElement).getBoundingClientRect();
    this.show((event.clientX - frame.left) / frame.width, event);
  }
}
