import { describe, expect, it } from 'vitest';
import { read, write } from './pointer';

const question = { need: { verb: 'hold', layers: [{ material: 'paint', thickness: '0.4 mm' }] }, pieces: 200 };

describe('read', () => {
  it('follows objects and lists', () => {
    expect(read(question, '/need/layers/0/thickness')).toBe('0.4 mm');
    expect(read(question, '')).toBe(question);
  });
  it('finds nothing where nothing is', () => {
    expect(read(question, '/need/steel/material')).toBeUndefined();
    expect(read(question, '/pieces/0')).toBeUndefined();
  });
  it('decodes escapes in the right order (RFC 6901, section 4: ~01 is ~1)', () => {
    expect(read({ 'a/b': 1, '~1': 2 }, '/a~1b')).toBe(1);
    expect(read({ 'a/b': 1, '~1': 2 }, '/~01')).toBe(2);
  });
});

describe('write', () => {
  it('changes one place of a copy and leaves the original', () => {
    const before = JSON.stringify(question);
    const changed = write(question, '/need/layers/0/thickness', '1 mm');
    expect(read(changed, '/need/layers/0/thickness')).toBe('1 mm');
    expect(JSON.stringify(question)).toBe(before);
    expect(read(changed, '/pieces')).toBe(200);
  });
  it('makes what is missing on the way', () => {
    expect(write({}, '/limits/widest', '25 mm')).toEqual({ limits: { widest: '25 mm' } });
    expect(write({ limits: null }, '/limits/widest', null)).toEqual({ limits: { widest: null } });
  });
  it('appends with a dash and replaces the whole with an empty path', () => {
    expect(write({ a: [1] }, '/a/-', 2)).toEqual({ a: [1, 2] });
    expect(write({ a: 1 } as { a: number }, '', { a: 2 })).toEqual({ a: 2 });
  });
});
