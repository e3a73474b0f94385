import { describe, expect, it } from 'vitest';
import { cut, roomOf, settle, type Rect } from './labels';

const frame: Rect = { x: 0, y: 0, width: 300, height: 200 };

describe('cut', () => {
  it('leaves what fits', () => expect(cut('as on the shelf', 200, 13)).toBe('as on the shelf'));
  it('ends what does not with dots', () => {
    const short = cut('W'.repeat(300), 200, 13);
    expect(short).toMatch(/^W+…$/);
    expect(roomOf(short, { x: 0, y: 0 }, 13).width).toBeLessThanOrEqual(200);
  });
  it('does not cut a letter in two', () => expect(cut('😀'.repeat(300), 200, 13)).toMatch(/^(😀)+…$/u));
});

describe('settle', () => {
  it('takes the first place that is free', () => {
    const { at } = settle(
      'word',
      12,
      [
        { x: 10, y: 50 },
        { x: 10, y: 90 },
      ],
      frame,
      [],
      [],
    );
    expect(at).toEqual({ x: 10, y: 50 });
  });
  it('goes out of the way of other labels and of the line', () => {
    const taken = [roomOf('other', { x: 10, y: 50 }, 12)];
    expect(
      settle(
        'word',
        12,
        [
          { x: 10, y: 50 },
          { x: 10, y: 90 },
        ],
        frame,
        taken,
        [],
      ).at.y,
    ).toBe(90);
    const line: [number, number][] = [[15, 48]];
    expect(
      settle(
        'word',
        12,
        [
          { x: 10, y: 50 },
          { x: 10, y: 90 },
        ],
        frame,
        [],
        line,
      ).at.y,
    ).toBe(90);
  });
  it('stays inside the frame where it can', () => {
    expect(
      settle(
        'a long word',
        12,
        [
          { x: 280, y: 50 },
          { x: 100, y: 50 },
        ],
        frame,
        [],
        [],
      ).at.x,
    ).toBe(100);
  });
  it('takes the least bad place when none is free', () => {
    const taken: Rect[] = [{ x: 0, y: 0, width: 300, height: 60 }];
    const line: [number, number][] = [[12, 98]];
    expect(
      settle(
        'word',
        12,
        [
          { x: 10, y: 50 },
          { x: 10, y: 100 },
        ],
        frame,
        taken,
        line,
      ).at.y,
    ).toBe(100);
  });
});
