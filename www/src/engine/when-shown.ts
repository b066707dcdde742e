// Pages that nobody sees draw nothing; seen again, they draw once.

/** Calls back each time the page comes back to view, from another tab or from the browser's store of pages left. */
export function whenShown(shown: () => void, hidden: () => void = () => undefined): () => void {
  const ending = new AbortController();
  const { signal } = ending;
  document.addEventListener('visibilitychange', () => (document.hidden ? hidden() : shown()), { signal });
  addEventListener('pageshow', (event) => event.persisted && shown(), { signal });
  return () => ending.abort();
}
