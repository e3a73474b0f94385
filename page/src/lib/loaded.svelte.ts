// One thing fetched for a place: the value, the failure, and whether a newer one is on its way.
import { isAbort } from './api';
import { Latest } from './latest';
import { shop } from './shop.svelte';

export class Loaded<T> {
  value = $state.raw<T | null>(null);
  error = $state.raw<unknown>(null);
  busy = $state(false);
  #latest = new Latest();

  /** Fetches anew; the old value stays to be read meanwhile. Resolves to whether this call brought a value. */
  async load(work: (signal: AbortSignal) => Promise<T>, wait_ms = 0): Promise<boolean> {
    this.busy = true;
    try {
      const value = await this.#latest.run(work, wait_ms);
      if (value === undefined) return false;
      this.value = value;
      this.error = null;
      this.busy = false;
      return true;
    } catch (error) {
      if (isAbort(error)) return false;
      shop.noticed(error);
      this.error = error;
      this.busy = false;
      return false;
    }
  }

  /** Gives up what is on its way; what was there stays. */
  halt(): void {
    this.#latest.stop();
    this.busy = false;
  }

  forget(): void {
    this.#latest.stop();
    this.value = null;
    this.error = null;
    this.busy = false;
  }
}
