import { describe, expect, it } from 'vitest';
import { bandPath, interpolate, linePath, readingAt, readOut, table, topOf } from './chart';
import type { Chart } from './interface';
import { linear, outwards } from './scale';

const chart: Chart = {
  title: 'What it holds against the gap',
  x: { label: 'gap', unit: 'mm', values: [0, 1, 2] },
  y: { label: 'pull', unit: 'N' },
  mid: [40, 20, 10],
  low: [36, 18, 9],
  high: [44, 22, 11],
  need: { y: 29.4, text: 'you need 29.4 N' },
  ceiling: null,
  here: { x: 0.4, text: 'through your paint' },
  remark: '',
  read_out: 'holds {y} at {x}, 95 % between {low} and {high}',
};

describe('interpolate', () => {
  it.each([
    [-1, 40],
    [0, 40],
    [0.5, 30],
    [1, 20],
    [1.5, 15],
    [9, 10],
  ])('at %d', (x, y) => expect(interpolate(chart.x.values, chart.mid, x)).toBe(y));
  it('knows nothing about an empty line', () => expect(interpolate([], [], 1)).toBeNaN());
  it('stands a repeated point', () => expect(interpolate([0, 1, 1, 2], [0, 1, 3, 4], 1)).toBe(1));
});

describe('the read-out', () => {
  it('fills the sentence with numbers and units', () => {
    expect(readOut(chart, readingAt(chart, 0.5))).toBe(
      'holds 30\u00a0N at 0.5\u00a0mm, 95 % between 27.0 and 33.0\u00a0N',
    );
  });
  it('rounds the ends of the band outwards', () => {
    expect(outwards(41.84, 51.46)).toEqual(['41.8', '51.5']);
    expect(outwards(41.86, 51.44)).toEqual(['41.8', '51.5']);
    expect(outwards(27, 33)).toEqual(['27.0', '33.0']);
    expect(outwards(1234, 5678)).toEqual(['1,200', '5,700']);
    expect(outwards(5, 5)).toEqual(['5', '5']);
  });
  it('leaves words in braces that it does not know', () => {
    expect(readOut({ ...chart, read_out: '{y} {z}' }, readingAt(chart, 1))).toBe('20\u00a0N {z}');
  });
});

describe('the drawing', () => {
  const sx = linear(0, 2, 0, 200);
  const sy = linear(0, 50, 100, 0);
  it('draws the line and closes the band', () => {
    expect(linePath(chart.x.values, chart.mid, sx, sy)).toBe('M0.0 20.0L100.0 60.0L200.0 80.0');
    expect(bandPath(chart.x.values, chart.low, chart.high, sx, sy)).toMatch(
      /^M0\.0 12\.0L.*L200\.0 82\.0.*L0\.0 28\.0Z$/,
    );
  });
  it('skips what is not a number', () => {
    expect(linePath([0, 1, 2], [1, NaN, 2], sx, sy).match(/[ML]/g)).toHaveLength(2);
  });
  it('holds need and line, and does not let an outlier of the band squash them', () => {
    expect(topOf(chart)).toBeGreaterThanOrEqual(44);
    expect(topOf({ ...chart, high: [4000, 22, 11] })).toBeLessThanOrEqual(60);
    expect(topOf({ ...chart, need: { y: 90, text: '' } })).toBeGreaterThanOrEqual(90);
  });
});

it('writes its table with units', () => {
  expect(table(chart).slice(0, 2)).toEqual([
    ['gap, mm', 'pull, N', 'low, N', 'high, N'],
    ['0', '40', '36', '44'],
  ]);
});
