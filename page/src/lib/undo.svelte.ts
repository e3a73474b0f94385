// The last deed that can be undone, offered for a while.

const OFFERED_MS = 12000;

interface Offer {
  text: string;
  undo: () => Promise<void>;
}

class Undo {
  offer = $state.raw<Offer | null>(null);
  #timer: ReturnType<typeof setTimeout> | undefined;

  /** Tells what was done and offers to take it back. */
  tell(text: string, undo: () => Promise<void>): void {
    this.offer = { text, undo };
    this.hold(false);
  }

  /** Keeps the offer up while the reader is at it. */
  hold(on: boolean): void {
    clearTimeout(this.#timer);
    if (!on) this.#timer = setTimeout(() => (this.offer = null), OFFERED_MS);
  }

  async take(): Promise<void> {
    const offer = this.offer;
    this.offer = null;
    await offer?.undo();
  }
}

export const undo = new Undo();
