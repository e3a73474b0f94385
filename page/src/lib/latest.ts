// Only the latest request counts: an older one is aborted, and a late answer is dropped.

export class Latest {
  #controller: AbortController | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;

  /** Runs `work` now, or `wait_ms` after the last call. Resolves to `undefined` when a later call took its place. */
  run<T>(work: (signal: AbortSignal) => Promise<T>, wait_ms = 0): Promise<T | undefined> {
    this.stop();
    const controller = new AbortController();
    this.#controller = controller;
    return new Promise((resolve, reject) => {
      controller.signal.addEventListener('abort', () => resolve(undefined));
      const begin = () =>
        work(controller.signal).then(
          (result) => resolve(controller.signal.aborted ? undefined : result),
          (error: unknown) => (controller.signal.aborted ? resolve(undefined) : reject(error)),
        );
      if (wait_ms > 0) this.#timer = setTimeout(() => void begin(), wait_ms);
      else void begin();
    });
  }

  /** Drops what is waiting or under way. */
  stop(): void {
    clearTimeout(this.#timer);
    this.#controller?.abort();
  }
}
