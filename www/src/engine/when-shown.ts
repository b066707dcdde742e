// Hidden pages draw nothing; when shown again, they draw once.

/** Calls back each time the page becomes visible again, from another tab or from the back/forward cache. */
export function whenShown(shown: () => void, hidden: () => void = () => undefined): () => void {
  const ending = new AbortController();
  const { signal } = ending;
  document.addEventListener('visibilitychange', () => (document.hidden ? hidden() : shown()), { signal });
  addEventListener('pageshow', (event) => event.persisted && shown(), { signal });
  return () => ending.abort();
}
