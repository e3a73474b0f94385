import { describe, expect, it } from 'vitest';
import type { Plot } from './interface';
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

it('has every point in the table', () => expect(plotTable(plot)).toHaveLength(6));
