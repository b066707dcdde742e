// Preferences for the page itself: kept in this browser, never in the scene.
import { systemOf, type System } from './lengths';

const SCHEMES = ['dark', 'grey'] as const;
export type Scheme = (typeof SCHEMES)[number];
/** `null`: from the browser's language. */
export type Units = System | null;

/** `public/scheme.js` reads it too, to set the scheme before anything is painted. */
const KEY = 'clerestory.preferences';
/** The background colour of each scheme, for the browser's own frame around the page. */
const GROUND: Record<Scheme, string> = { dark: '#151515', grey: '#767676' };

interface Kept {
  scheme?: unknown;
  units?: unknown;
}

function kept(): Kept {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(KEY) ?? '{}');
    return typeof found === 'object' && found !== null ? found : {};
  } catch {
    // No storage, or an invalid value: the defaults apply.
    return {};
  }
}

class Preferences {
  scheme = $state<Scheme>('dark');
  units = $state<Units>(null);
  readonly system: System = $derived(this.units ?? systemOf(navigator.languages));

  constructor() {
    this.#read();
    // Changed in another tab of the page.
    addEventListener('storage', (event) => {
      if (event.key === KEY || event.key === null) this.#read();
    });
  }

  #read(): void {
    const { scheme, units } = kept();
    this.scheme = SCHEMES.find((known) => known === scheme) ?? 'dark';
    this.units = units === 'metric' || units === 'feet' ? units : null;
    this.#show();
  }

  setScheme(scheme: Scheme): void {
    this.scheme = scheme;
    this.#show();
    this.#keep();
  }

  setUnits(units: Units): void {
    this.units = units;
    this.#keep();
  }

  #show(): void {
    document.documentElement.dataset['scheme'] = this.scheme;
    document.querySelector('meta[name=theme-color]')?.setAttribute('content', GROUND[this.scheme]);
  }

  #keep(): void {
    try {
      localStorage.setItem(KEY, JSON.stringify({ scheme: this.scheme, units: this.units }));
    } catch {
      // No storage: it applies until the page is closed.
    }
  }
}

export const preferences = new Preferences();
