// What waits to be sent: kept in the browser until the server has it, sent in order, again and again where it must be.
import type { ReadingBody } from './interface';

export interface Waiting {
  /** Its place in the order. */
  order: string;
  session: string;
  deed: 'add' | 'take_back' | 'bring_back';
  /** Id of the reading. */
  reading: string;
  body?: ReadingBody;
  /** Of how many pieces and where, for the list. */
  what: string;
}

export interface Refused {
  item: Waiting;
  error: unknown;
}

/** The part of a browser's storage that is used here. */
export type Store = Pick<Storage, 'getItem' | 'setItem' | 'removeItem' | 'key' | 'length'>;

export interface Sender {
  send(item: Waiting): Promise<void>;
  /** Whether a failure means that nobody answered, so that it is tried again. */
  isGone(error: unknown): boolean;
  changed(sent: Waiting | null): void;
  failed(error: unknown): void;
}

const KEY = 'lodewright.bench.waiting.';
const FIRST_WAIT_MS = 400;
const LONGEST_WAIT_MS = 5000;

export class Outbox {
  items: Waiting[] = [];
  refused: Refused[] = [];
  /** Whether the browser keeps what waits. */
  kept = true;
  #store: Store | null;
  #sender: Sender;
  #busy = false;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #wait = FIRST_WAIT_MS;
  #count = 0;

  constructor(store: Store | null, sender: Sender) {
    this.#store = store;
    this.#sender = sender;
    this.#recall();
  }

  #recall(): void {
    const store = this.#store;
    if (!store) {
      this.kept = false;
      return;
    }
    try {
      const keys = Array.from({ length: store.length }, (_, index) => store.key(index) ?? '').filter((key) =>
        key.startsWith(KEY),
      );
      for (const key of keys.sort()) {
        const item = parsed(store.getItem(key));
        if (item) this.items.push(item);
      }
    } catch {
      this.kept = false;
    }
  }

  /** Puts something in, keeps it, and begins to send. */
  put(item: Omit<Waiting, 'order'>): void {
    this.#count += 1;
    const order = `${String(Date.now()).padStart(15, '0')}-${String(this.#count).padStart(6, '0')}`;
    const whole = { ...item, order };
    this.items.push(whole);
    try {
      if (!this.#store) throw new Error('no storage');
      this.#store.setItem(KEY + order, JSON.stringify(whole));
      this.kept = true;
    } catch {
      this.kept = false; // It is still sent, as long as the page stays open.
    }
    this.#sender.changed(null);
    void this.flush();
  }

  /** Sends what waits, oldest first; stops where nobody answers and tries again later. */
  async flush(): Promise<void> {
    if (this.#busy) return;
    this.#busy = true;
    clearTimeout(this.#timer);
    try {
      for (let item = this.items[0]; item; item = this.items[0]) {
        try {
          await this.#sender.send(item);
        } catch (error) {
          this.#sender.failed(error);
          if (this.#sender.isGone(error)) {
            this.#timer = setTimeout(() => void this.flush(), this.#wait);
            this.#wait = Math.min(this.#wait * 2, LONGEST_WAIT_MS);
            return;
          }
          this.refused.push({ item, error });
        }
        this.#wait = FIRST_WAIT_MS;
        this.#drop(item);
        this.#sender.changed(item);
      }
    } finally {
      this.#busy = false;
    }
  }

  #drop(item: Waiting): void {
    this.items = this.items.filter((one) => one !== item);
    try {
      this.#store?.removeItem(KEY + item.order);
    } catch {
      // It is sent again at the next start, which adds nothing.
    }
  }

  /** Puts a refused one away. */
  dismiss(refused: Refused): void {
    this.refused = this.refused.filter((one) => one !== refused);
    this.#sender.changed(null);
  }
}

function parsed(text: string | null): Waiting | null {
  try {
    const item = JSON.parse(text ?? '') as Waiting;
    return typeof item.order === 'string' && typeof item.reading === 'string' ? item : null;
  } catch {
    return null;
  }
}
