import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import { Latest } from './latest';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

describe('Latest', () => {
  it('runs only the last of a burst, after the pause', async () => {
    const latest = new Latest();
    const work = vi.fn(async () => 'done');
    const first = latest.run(work, 60);
    const second = latest.run(work, 60);
    await vi.advanceTimersByTimeAsync(59);
    expect(work).not.toHaveBeenCalled();
    await vi.advanceTimersByTimeAsync(1);
    expect(work).toHaveBeenCalledTimes(1);
    expect(await first).toBeUndefined();
    expect(await second).toBe('done');
  });
  it('aborts and drops an answer that comes late, be it good or bad', async () => {
    const latest = new Latest();
    let aborted = false;
    const slow = latest.run(
      (signal) =>
        new Promise((_, reject) => {
          signal.addEventListener('abort', () => (aborted = true));
          setTimeout(() => reject(new Error('late')), 100);
        }),
    );
    const quick = latest.run(async () => 'quick');
    await vi.advanceTimersByTimeAsync(200);
    expect(await slow).toBeUndefined();
    expect(await quick).toBe('quick');
    expect(aborted).toBe(true);
  });
  it('passes failures of the last on', async () => {
    const failing = new Latest().run(() => Promise.reject(new Error('no')));
    await expect(failing).rejects.toThrow('no');
  });
});
