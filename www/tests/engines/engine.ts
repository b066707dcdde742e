// What the tests in Firefox and in WebKit need of a browser. Each is driven by its own library; see firefox.ts, webkit.ts.

/** On the page, in CSS pixels from its upper left corner. */
export interface Point {
  x: number;
  y: number;
}

export interface Engine {
  /** Name and version. */
  readonly name: string;
  /** The folder that gets the files the page saves. */
  readonly downloads: string;
  /** Opens an address, or the same again. */
  visit(address: string): Promise<void>;
  /** Calls a function in the page. It must not refer to anything outside itself. */
  ask<A extends unknown[], R>(call: (...given: A) => R | Promise<R>, ...given: A): Promise<R>;
  /** Clicks with the mouse. */
  click(at: Point): Promise<void>;
  /** Drags with the mouse, along these points. */
  drag(along: readonly Point[]): Promise<void>;
  /** Types into what has the focus. */
  type(text: string): Promise<void>;
  /** Presses Enter, or Control and S. */
  press(keys: 'Enter' | 'Control+s'): Promise<void>;
  /** Gives a file to the input that matches. */
  choose(input: string, path: string): Promise<void>;
  /** What is seen of the page, as a PNG in base64. */
  screenshot(): Promise<string>;
  /** Closes the browser; one that does not answer is killed. */
  close(): Promise<void>;
}

/** The size of the page: small, because the processor draws it. */
export const SIZE = { width: 860, height: 600 };

/** Waits for a promise, but not for ever. */
export async function within<T>(promise: Promise<T>, seconds: number, otherwise: string): Promise<T> {
  let timer: NodeJS.Timeout | undefined;
  const late = new Promise<never>((_, reject) => {
    timer = setTimeout(() => reject(new Error(`${otherwise} within ${seconds} s.`)), 1000 * seconds);
  });
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}
