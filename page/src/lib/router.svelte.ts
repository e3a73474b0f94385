// Where the reader is, kept in step with the address bar.
import { parseRoute, type Route } from './route';

class Router {
  route = $state.raw<Route>(parseRoute(location.hash));

  constructor() {
    addEventListener('hashchange', () => (this.route = parseRoute(location.hash)));
  }

  go(hash: string): void {
    location.hash = hash;
  }

  /** Changes the address without a new step in the history and without reloading the place. */
  note(hash: string): void {
    if (hash !== location.hash) history.replaceState(null, '', hash);
  }
}

export const router = new Router();
