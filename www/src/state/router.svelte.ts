// Which screen the address names, in its fragment: `#/window`. That works from any folder of any static host, without a
// network, and leaves `?scene=` alone; the browser’s own Back and Forward change it.
import { nameIn } from './addresses';

class Router {
  /** Empty where the address names no screen. */
  address = $state(nameIn(location.hash));

  constructor() {
    addEventListener('hashchange', () => (this.address = nameIn(location.hash)));
  }
}

export const router = new Router();
