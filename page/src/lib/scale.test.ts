import { describe, expect, it } from 'vitest';
import { figure, linear, ticks } from './scale';

describe('linear', () => {
  it('maps there and back', () => {
    const scale = linear(0, 4, 44, 500);
    expect(scale.at(0)).toBe(44);
    expect(scale.at(4)).toBe(500);
    for (const x of [0, 0.4, 3.99]) expect(Math.abs(scale.back(scale.at(x)) - x)).toBeLessThanOrEqual(1e-12);
  });
  it('stands an empty domain', () => {
    expect(linear(2, 2, 0, 10).at(2)).toBe(5);
  });
});

describe('ticks', () => {
  it.each([
    [0, 50, 5, [0, 10, 20, 30, 40, 50]],
    [0, 0.6, 6, [0, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6]],
    [-3, 3, 3, [-2, 0, 2]],
    [0, 566, 6, [0, 100, 200, 300, 400, 500]],
    [1, 1, 5, [1]],
  ])('from %d to %d, about %d', (from, to, count, expected) => {
    expect(ticks(from, to, count)).toEqual(expected);
  });
  it('never leaves the range or runs away', () => {
    for (const [from, to] of [
      [0, 1e-9],
      [-1e6, 1e6],
      [0.1234, 0.1235],
    ] as const) {
      const found = ticks(from, to, 5);
      expect(found.length).toBeLessThanOrEqual(12);
      expect(found.every((tick) => tick >= from - 1e-9 && tick <= to + 1e-9)).toBe(true);
    }
  });
});

describe('figure', () => {
  it.each([
    [33.84, '33.8'],
    [1240.4, '1,240'],
    [0.0123456, '0.0123'],
    [-4, '−4'],
    [0, '0'],
    [NaN, '–'],
  ])('%d is %s', (value, text) => expect(figure(value)).toBe(text));
});
