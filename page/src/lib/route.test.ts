import { describe, expect, it } from 'vitest';
import { hashOf, parseRoute, placeOf } from './route';

describe('parseRoute', () => {
  it.each([
    ['', 'ask', ''],
    ['#/', 'ask', ''],
    ['#/answer/k3f9a2c1', 'answer', 'k3f9a2c1'],
    ['#/item/14%2F07', 'item', '14/07'],
    ['#/ladder', 'ladder', ''],
    ['#/shelf?search=disc', 'shelf', ''],
    ['#/lessons', 'lessons', ''],
    ['#/lessons/gap', 'lessons', 'gap'],
    ['#/quotation/Q-2026-0007?issue=1', 'quotation', 'Q-2026-0007'],
    ['#/paper/k3f9a2c1', 'paper', 'k3f9a2c1'],
    ['#/paper', 'lost', 'paper'],
    ['#/answer', 'lost', 'answer'],
    ['#/shelf/x', 'lost', 'shelf/x'],
    ['#/nowhere', 'lost', 'nowhere'],
  ])('%s', (hash, place, key) => {
    expect(parseRoute(hash)).toMatchObject({ place, key });
  });
  it('stands broken escapes', () => {
    expect(parseRoute('#/?ask=100%').params).toEqual({ ask: '100%' });
  });
  it('reads back what hashOf writes', () => {
    const params = { ask: 'hold 2 kg & more = ½ "?#/%', other: 'é' };
    expect(parseRoute(hashOf('ask', '', params))).toEqual({ place: 'ask', key: '', params });
    expect(parseRoute(hashOf('item', '14-07 a/b?'))).toMatchObject({ place: 'item', key: '14-07 a/b?' });
  });
  it('leads to what a paper is of', () => {
    expect(placeOf({ kind: 'item', code: '14/07' })).toBe('#/item/14%2F07');
    expect(placeOf({ kind: 'lesson', name: 'gap' })).toBe('#/lessons/gap');
    const request = { lines: [{ magnet: { code: 'a' }, count: 2 }] };
    const parcel = parseRoute(placeOf({ kind: 'parcel', request }));
    expect([parcel.place, JSON.parse(parcel.params['for'] ?? '')]).toEqual(['parcel', request]);
  });
  it('leaves empty parameters out', () => {
    expect(hashOf('shelf', '', { search: '', shape: 'disc' })).toBe('#/shelf?shape=disc');
  });
});
