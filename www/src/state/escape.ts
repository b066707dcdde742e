// What Escape closes: the last thing opened first.
const closers: (() => void)[] = [];

/** Lets Escape call `close`, wherever the focus is. Returns what to call once that is closed. */
export function closesByEscape(close: () => void): () => void {
  closers.push(close);
  return () => {
    const at = closers.lastIndexOf(close);
    if (at >= 0) closers.splice(at, 1);
  };
}

/** Closes the last thing opened. Returns false if nothing is open. */
export function closeLast(): boolean {
  const close = closers.at(-1);
  close?.();
  return close !== undefined;
}
