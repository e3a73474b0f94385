// The shop behind the page, and whether it can be reached. While it cannot, we knock again until it answers.
import { api, Unreachable } from './api';
import type { ShopView } from './interface';
import { settings } from './settings.svelte';

const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 15000;

class ShopState {
  shop = $state.raw<ShopView | null>(null);
  gone = $state(false);
  /** Counts the returns of the server, so that places load again. */
  returns = $state(0);
  #timer: ReturnType<typeof setTimeout> | undefined;
  #wait = FIRST_WAIT_MS;

  /** Whether lengths that the page writes itself are inches: the reader's choice, or else the shop's own units. */
  get inch(): boolean {
    return /^in/.test(settings.units || (this.shop?.units ?? ''));
  }

  async load(): Promise<void> {
    clearTimeout(this.#timer);
    try {
      this.shop = await api.shop();
      this.#wait = FIRST_WAIT_MS;
      if (this.gone) {
        this.gone = false;
        this.returns += 1;
      }
    } catch {
      this.gone = true;
      this.#timer = setTimeout(() => void this.load(), this.#wait);
      this.#wait = Math.min(this.#wait * 2, LONGEST_WAIT_MS);
    }
  }

  /** Called with any failure; begins knocking when the server is gone. */
  noticed(error: unknown): void {
    if (error instanceof Unreachable && !this.gone) {
      this.gone = true;
      this.#wait = FIRST_WAIT_MS;
      this.#timer = setTimeout(() => void this.load(), this.#wait);
    }
  }
}

export const shop = new ShopState();
