import { describe, expect, it } from 'vitest';
import type { Plot } from './interface';
import { roomOf } from './labels';
import { layoutPlot, plotTable, readPlot, valueAt } from './plot';

const plot: Plot = {
  title: 'Working point',
  x: { label: 'H', unit: 'kA/m' },
  y: { label: 'B', unit: 'T' },
  curves: [
    {
      name: 'B',
      role: 'main',
      points: [
        [-900, 0],
        [-400, 0.7],
        [0, 1.3],
      ],
    },
    {
      name: 'load line',
      role: 'guide',
      points: [
        [-900, 1.9],
        [0, 0],
      ],
    },
  ],
  marks: [{ at: [-400, 0.7], text: 'works here' }],
  stretches: [{ from: -900, to: -800, text: 'past the knee' }],
  remark: '',
};

describe('valueAt', () => {
  const points = plot.curves[0]?.points ?? [];
  it('lies on the line between points', () => expect(valueAt(points, -200)).toBeCloseTo(1.0, 12));
  it('is nothing outside', () => expect(valueAt(points, 10)).toBeNull());
  it('does not mind the direction', () => expect(valueAt([...points].reverse(), -200)).toBeCloseTo(1.0, 12));
});

describe('readPlot', () => {
  it('names every curve but guides', () => expect(readPlot(plot, -200)).toBe('H −200\u00a0kA/m: B 1\u00a0T'));
  it('says so where there is nothing', () => expect(readPlot(plot, 99)).toContain('nothing here'));
});

describe('layoutPlot', () => {
  const drawing = layoutPlot(plot, 520);
  it('draws every curve', () => expect(drawing.paths.map(({ d }) => d.startsWith('M'))).toEqual([true, true]));
  it('is not stretched by a guide', () => expect(drawing.sy.to).toBeLessThan(1.5));
  it('labels marks, stretches and curves', () => expect(drawing.labels).toHaveLength(4));
  it('names a guide that runs out of the frame where it can be seen, and one outside not at all', () => {
    const guide = (name: string, y: number) => ({
      name,
      role: 'guide' as const,
      points: [
        [-900, y],
        [0, y],
      ] as [number, number][],
    });
    const { labels, frame } = layoutPlot(
      { ...plot, curves: [...plot.curves, guide('far', 5), guide('near', 0.2)] },
      520,
    );
    const named = new Map(labels.map((label) => [label.text, label]));
    expect(named.has('far')).toBe(false);
    for (const name of ['near', 'load line']) expect(named.get(name)?.y).toBeGreaterThan(frame.y);
  });
  it('stands a curve of one point', () => {
    const flat = {
      ...plot,
      curves: [{ name: 'a', role: 'main' as const, points: [[1, 2] as [number, number]] }],
      marks: [],
      stretches: [],
    };
    expect(layoutPlot(flat, 300).paths[0]?.d).not.toContain('NaN');
  });
});

describe('names of curves', () => {
  /** Three magnets that pull alike, as in the lesson on gaps. */
  const alike = (name: string): Plot => ({
    ...plot,
    curves: [1, 1.02, 0.98].map((factor, index) => ({
      name: `${name} ${index + 1}`,
      role: index === 0 ? 'main' : 'beside',
      points: Array.from({ length: 40 }, (_, x): [number, number] => [x, (factor * 70) / (1 + x)]),
    })),
    marks: [],
    stretches: [],
  });
  it.each([
    ['Disc, 20 × 5 mm, N42, number', 300],
    ['Disc, 20 × 5 mm, N42, number', 680],
    ['W'.repeat(300), 300],
    ['מגנט 😀 '.repeat(40), 680],
  ])('%s at %d px are all there, and none lies on another', (name, width) => {
    const drawing = layoutPlot(alike(name), width);
    const all = [...drawing.labels.map(({ text, x, y }) => ({ text, x, y })), ...drawing.key];
    expect(all).toHaveLength(3);
    const rooms = all.map(({ text, x, y }) => roomOf(text, { x, y }, 12));
    for (const [index, room] of rooms.entries()) {
      expect(room.x).toBeGreaterThanOrEqual(0);
      expect(room.x + room.width).toBeLessThanOrEqual(width);
      for (const other of rooms.slice(index + 1))
        expect(
          room.y + room.height <= other.y ||
            other.y + other.height <= room.y ||
            room.x + room.width <= other.x ||
            other.x + other.width <= room.x,
        ).toBe(true);
    }
    // The key takes nothing from the curves.
    expect(drawing.frame.height).toBe(layoutPlot({ ...alike(''), curves: [] }, width).frame.height);
    const dashes = drawing.paths.map(({ dash }) => dash);
    expect(dashes[1]).not.toBe(dashes[2]);
  });
  it('leave words of a mark that are wider than the drawing to the key', () => {
    const words = 'works at 204 mT, −829 kA/m in the mean at 20 °C';
    const drawing = layoutPlot({ ...plot, marks: [{ at: [-400, 0.7], text: words }] }, 330);
    expect(drawing.labels.some(({ kind }) => kind === 'mark')).toBe(false);
    expect(drawing.key.map(({ role }) => role)).toContain('mark');
  });
  it('stand on the curves where there is room', () => {
    const drawing = layoutPlot(plot, 520);
    expect(drawing.key).toEqual([]);
  });
});

it('has every point in the table', () => expect(plotTable(plot)).toHaveLength(6));
