// What the reader prefers of the page itself: kept in this browser, never in the scene.
import { systemOf, type System } from './lengths';

const SCHEMES = ['dark', 'grey'] as const;
export type Scheme = (typeof SCHEMES)[number];
/** `null`: as the browser's language has it. */
export type Units = System | null;

/** Also read by `public/scheme.js`, which sets the scheme before anything is painted. */
const KEY = 'clerestory.preferences';
/** The colour of the ground in each scheme, for the browser's own frame round the page. */
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
    // No storage, or something else's: the page then has its defaults.
    return {};
  }
}

class Preferences {
  scheme = $state<Scheme>('dark');
  units = $state<Units>(null);
  readonly system: System = $derived(this.units ?? systemOf(navigator.languages));

  constructor() {
    this.#read();
    // Another tab of the page.
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
      // Nowhere to keep it: it holds until the page is closed.
    }
  }
}

export const preferences = new Preferences();
