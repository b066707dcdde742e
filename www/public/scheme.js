// Runs before anything is painted, so that the page never flashes in another scheme than the one chosen.
// The page's own module (state/preferences.svelte.ts) owns the stored value.
try {
  const { scheme } = JSON.parse(localStorage.getItem('clerestory.preferences') ?? '{}') ?? {};
  if (scheme === 'grey') document.documentElement.dataset.scheme = scheme;
} catch {
  // No storage, or an invalid value: the scheme stays dark.
}
