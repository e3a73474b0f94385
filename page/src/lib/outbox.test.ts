import { describe, expect, it, vi } from 'vitest';
import { Outbox, type Sender, type Store, type Waiting } from './outbox';

class Memory implements Store {
  map = new Map<string, string>();
  get length() {
    return this.map.size;
  }
  key = (index: number) => [...this.map.keys()][index] ?? null;
  getItem = (key: string) => this.map.get(key) ?? null;
  setItem = (key: string, value: string) => void this.map.set(key, value);
  removeItem = (key: string) => void this.map.delete(key);
}

const add = (reading: string): Omit<Waiting, 'order'> => ({
  session: 's',
  deed: 'add',
  reading,
  body: { id: reading, value: '300 mT' },
  what: 'one piece',
});

function sender(fail: (item: Waiting) => unknown = () => null) {
  const sent: string[] = [];
  const made: Sender = {
    send: (item) => {
      const error = fail(item);
      if (error) return Promise.reject(error);
      sent.push(item.reading);
      return Promise.resolve();
    },
    isGone: (error) => error === 'gone',
    changed: () => undefined,
    failed: () => undefined,
  };
  return { made, sent };
}

describe('the outbox', () => {
  it('sends in order and keeps nothing that is sent', async () => {
    const store = new Memory();
    const { made, sent } = sender();
    const box = new Outbox(store, made);
    ['a', 'b', 'c'].forEach((reading) => box.put(add(reading)));
    await vi.waitFor(() => expect(sent).toEqual(['a', 'b', 'c']));
    await vi.waitFor(() => expect(store.length).toBe(0));
  });

  it('keeps what nobody took and sends it when somebody does', async () => {
    vi.useFakeTimers();
    const store = new Memory();
    let gone = true;
    const { made, sent } = sender(() => (gone ? 'gone' : null));
    const box = new Outbox(store, made);
    ['a', 'b'].forEach((reading) => box.put(add(reading)));
    await vi.advanceTimersByTimeAsync(3000);
    expect([sent, store.length, box.items.length]).toEqual([[], 2, 2]);
    gone = false;
    await vi.advanceTimersByTimeAsync(6000);
    expect([sent, store.length]).toEqual([['a', 'b'], 0]);
    vi.useRealTimers();
  });

  it('sends what an earlier page left, oldest first', async () => {
    const store = new Memory();
    const first = new Outbox(store, sender(() => 'gone').made);
    ['a', 'b'].forEach((reading) => first.put(add(reading)));
    const { made, sent } = sender();
    const second = new Outbox(store, made);
    await second.flush();
    expect(sent).toEqual(['a', 'b']);
  });

  it('puts aside what is refused and goes on', async () => {
    const store = new Memory();
    const { made, sent } = sender(({ reading }) => (reading === 'b' ? 'no such reading' : null));
    const box = new Outbox(store, made);
    ['a', 'b', 'c'].forEach((reading) => box.put(add(reading)));
    await vi.waitFor(() => expect(sent).toEqual(['a', 'c']));
    const refused = box.refused[0];
    expect(refused?.item.reading).toBe('b');
    if (refused) box.dismiss(refused);
    expect(box.refused).toEqual([]);
  });

  it('says where the browser keeps nothing, and sends all the same', async () => {
    const { made, sent } = sender();
    const box = new Outbox(null, made);
    expect(box.kept).toBe(false);
    box.put(add('a'));
    await vi.waitFor(() => expect(sent).toEqual(['a']));
  });

  it('passes over what is no waiting reading', () => {
    const store = new Memory();
    store.setItem('lodewright.bench.waiting.x', '{');
    store.setItem('lodewright.other', '1');
    expect(new Outbox(store, sender().made).items).toEqual([]);
  });
});
