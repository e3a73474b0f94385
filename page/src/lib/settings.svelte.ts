// What the reader chose for this browser: units, and whether single-letter shortcuts are on.
import type { Units } from './api';

function remembered(key: string): string | null {
  try {
    return localStorage.getItem(key);
  } catch {
    return null; // Storage may be forbidden; the page then starts afresh each time.
  }
}

function remember(key: string, value: string): void {
  try {
    localStorage.setItem(key, value);
  } catch {
    // See above.
  }
}

class Settings {
  #units = $state<Units>(remembered('lodewright.units') ?? '');
  #shortcuts = $state(remembered('lodewright.shortcuts') !== 'off');

  /** Empty for those of the shop. */
  get units(): Units {
    return this.#units;
  }
  set units(units: Units) {
    this.#units = units;
    remember('lodewright.units', units);
  }

  get shortcuts(): boolean {
    return this.#shortcuts;
  }
  set shortcuts(on: boolean) {
    this.#shortcuts = on;
    remember('lodewright.shortcuts', on ? 'on' : 'off');
  }
}

export const settings = new Settings();
