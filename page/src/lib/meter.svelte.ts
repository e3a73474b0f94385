// The instrument that the server reads live: asked for its reading while somebody looks.
import { benchApi } from './benchApi';
import type { MeterView } from './interface';
import { settings } from './settings.svelte';

const OFTEN_MS = 250;
const SELDOM_MS = 4000;

class Meter {
  view = $state.raw<MeterView | null>(null);
  #timer: ReturnType<typeof setTimeout> | undefined;
  #lookers = 0;
  /** Counts the times that somebody began to look, so that only one asks. */
  #turn = 0;

  /** Follows the meter until the returned function is called. */
  follow(): () => void {
    this.#lookers += 1;
    if (this.#lookers === 1) void this.#ask((this.#turn += 1));
    return () => {
      this.#lookers -= 1;
      if (this.#lookers === 0) clearTimeout(this.#timer);
    };
  }

  async #ask(turn: number): Promise<void> {
    try {
      this.view = await benchApi.meter(settings.units);
    } catch {
      this.view = null; // The server is away; the page says so elsewhere.
    }
    if (this.#lookers === 0 || turn !== this.#turn) return;
    // Where no instrument was named, none comes before the program is started anew.
    const wait = !this.view || this.view.state === 'none' ? SELDOM_MS : OFTEN_MS;
    this.#timer = setTimeout(() => void this.#ask(turn), wait);
  }
}

export const meter = new Meter();
