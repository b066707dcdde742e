/** Lets the browser handle pending work, such as a click or a repaint, before long work goes on. */
export const nextTurn = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));
