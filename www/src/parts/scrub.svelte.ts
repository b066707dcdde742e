// Dragging along a strip that stands for time: the day's hours, the year's dates.

export class Scrub {
  dragging = $state(false);

  /** `show`: what lies under the pointer, 0–1 along the strip; `done`: the drag is over. */
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
