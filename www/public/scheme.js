// Runs before anything is painted, so that the page never flashes in another scheme than the one chosen.
// The page's own module (state/preferences.svelte.ts) owns what is kept here.
try {
  const { scheme } = JSON.parse(localStorage.getItem('clerestory.preferences') ?? '{}') ?? {};
  if (scheme === 'grey') document.documentElement.dataset.scheme = scheme;
} catch {
  // No storage, or something else's: the scheme stays the dark one.
}
