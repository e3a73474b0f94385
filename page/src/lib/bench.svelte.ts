// The bench on the page: what waits to be sent, and one session kept fresh.
import { isAbort, Unreachable } from './api';
import { benchApi, newId, type FitWish } from './benchApi';
import type { ExpectedView, FoundView, PlaceBody, SessionView } from './interface';
import { Outbox, type Refused, type Waiting } from './outbox';
import { settings } from './settings.svelte';
import { shop } from './shop.svelte';

function storage(): Storage | null {
  try {
    return localStorage;
  } catch {
    return null; // Forbidden: what waits lives as long as the page.
  }
}

/** What waits to be sent, for every session. */
class Waitings {
  items = $state.raw<Waiting[]>([]);
  refused = $state.raw<Refused[]>([]);
  kept = $state(true);
  /** Counts what the server has taken. */
  sent = $state(0);
  #box: Outbox;

  constructor() {
    this.#box = new Outbox(storage(), {
      send: ({ deed, session, reading, body }) => {
        if (deed === 'take_back') return benchApi.takeBack(reading);
        if (deed === 'bring_back') return benchApi.bringBack(reading);
        return body ? benchApi.add(session, body) : Promise.resolve();
      },
      isGone: (error) => error instanceof Unreachable,
      failed: (error) => shop.noticed(error),
      changed: (sent) => {
        if (sent) this.sent += 1;
        this.#show();
      },
    });
    this.#show();
  }

  #show(): void {
    this.items = [...this.#box.items];
    this.refused = [...this.#box.refused];
    this.kept = this.#box.kept;
  }

  put(item: Omit<Waiting, 'order'>): void {
    this.#box.put(item);
  }

  flush(): void {
    void this.#box.flush();
  }

  dismiss(refused: Refused): void {
    this.#box.dismiss(refused);
  }
}

export const waitings = new Waitings();

/** A view that is fetched anew whenever something changed: one call at a time, and one more if something changed meanwhile. */
class Fresh<T> {
  value = $state.raw<T | null>(null);
  error = $state.raw<unknown>(null);
  busy = $state(false);
  #again = false;
  #work: () => Promise<T>;

  constructor(work: () => Promise<T>) {
    this.#work = work;
  }

  async refresh(): Promise<void> {
    if (this.busy) {
      this.#again = true;
      return;
    }
    this.busy = true;
    do {
      this.#again = false;
      try {
        this.value = await this.#work();
        this.error = null;
      } catch (error) {
        if (!isAbort(error)) {
          shop.noticed(error);
          this.error = error;
        }
      }
    } while (this.#again);
    this.busy = false;
  }
}

/** One session: its rows, what is expected next, what was found. */
export class BenchSession {
  readonly id: string;
  wish = $state.raw<FitWish>({ free: '', with: '', wanted: '' });
  place = $state.raw<PlaceBody>({});
  session: Fresh<SessionView>;
  expected: Fresh<ExpectedView>;
  found: Fresh<{ found: FoundView | null }>;

  constructor(id: string) {
    this.id = id;
    this.session = new Fresh(() => benchApi.session(id, this.wish, settings.units));
    this.expected = new Fresh(() => benchApi.expected(id, this.place, this.wish, settings.units));
    this.found = new Fresh(() => benchApi.found(id, this.wish, settings.units));
  }

  /** Fetches all of it. */
  refresh(): void {
    void this.session.refresh();
    void this.expected.refresh();
    void this.found.refresh();
  }

  setPlace(place: PlaceBody): void {
    this.place = place;
    void this.expected.refresh();
  }

  /** Saves a reading: at once in the browser, and with the server as soon as it answers. */
  take(value: string, what: string, note = ''): string {
    const reading = newId();
    const body = { id: reading, value, place: this.place, taken_at: Math.floor(Date.now() / 1000), note };
    waitings.put({ session: this.id, deed: 'add', reading, body, what });
    return reading;
  }

  takeBack(reading: string, what: string): void {
    waitings.put({ session: this.id, deed: 'take_back', reading, what });
  }

  bringBack(reading: string, what: string): void {
    waitings.put({ session: this.id, deed: 'bring_back', reading, what });
  }
}
