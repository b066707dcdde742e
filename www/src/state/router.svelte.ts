// The screen named in the fragment of the address: `#/window`. A fragment works from any folder of any static host and
// offline, leaves `?scene=` alone, and follows the browser’s Back and Forward.
import { nameIn } from './addresses';

class Router {
  /** Empty if the address names no screen. */
  address = $state(nameIn(location.hash));

  constructor() {
    addEventListener('hashchange', () => (this.address = nameIn(location.hash)));
  }
}

export const router = new Router();
