/** Lets the browser do what waits, such as a click or a repaint, before what is long goes on. */
export const nextTurn = (): Promise<void> => new Promise((resolve) => setTimeout(resolve));
