// What a chart needs to know: reading its line between the given points, its sentence, its table, and where labels go.
import type { Chart } from './interface';
import { figure, outwards, type Scale } from './scale';

/** The value of `ys` at `x`, linear between points, held at the ends. `xs` rises. */
export function interpolate(xs: number[], ys: number[], x: number): number {
  const last = Math.min(xs.length, ys.length) - 1;
  if (last < 0) return NaN;
  const after = xs.findIndex((one) => one >= x);
  if (after < 0 || after > last) return ys[last] ?? NaN;
  if (after === 0) return ys[0] ?? NaN;
  const [x0 = 0, x1 = 0, y0 = 0, y1 = 0] = [xs[after - 1], xs[after], ys[after - 1], ys[after]];
  return x1 === x0 ? y1 : y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
}

export interface Reading {
  x: number;
  mid: number;
  low: number;
  high: number;
}

export function readingAt(chart: Chart, x: number): Reading {
  const xs = chart.x.values;
  return {
    x,
    mid: interpolate(xs, chart.mid, x),
    low: interpolate(xs, chart.low, x),
    high: interpolate(xs, chart.high, x),
  };
}

/** The read-out sentence of the chart, with its numbers and units filled in. */
export function readOut(chart: Chart, { x, mid, low, high }: Reading): string {
  const [lower, upper] = outwards(low, high);
  const y = (text: string) => `${text}\u00a0${chart.y.unit}`.trim();
  const fill: Record<string, string> = {
    x: `${figure(x)}\u00a0${chart.x.unit}`.trim(),
    y: y(figure(mid)),
    low: lower,
    high: y(upper),
  };
  return chart.read_out.replace(/\{(\w+)\}/g, (whole, name: string) => fill[name] ?? whole);
}

/** The highest value the drawing must hold, with air above. Far outliers of the upper band do not squash the line. */
export function topOf(chart: Chart): number {
  const marks = [chart.need?.y ?? 0, chart.ceiling?.y ?? 0, ...chart.mid].filter(Number.isFinite);
  const band = chart.high.filter(Number.isFinite);
  const top = Math.max(0, ...marks);
  return Math.max(top, Math.min(Math.max(0, ...band), top * 1.35)) * 1.06 || 1;
}

export function bottomOf(chart: Chart): number {
  return Math.min(0, ...chart.low.filter(Number.isFinite));
}

export function linePath(xs: number[], ys: number[], sx: Scale, sy: Scale): string {
  return xs
    .map((x, index) => [sx.at(x), sy.at(ys[index] ?? NaN)] as const)
    .filter(([x, y]) => Number.isFinite(x) && Number.isFinite(y))
    .map(([x, y], index) => `${index ? 'L' : 'M'}${x.toFixed(1)} ${y.toFixed(1)}`)
    .join('');
}

export function bandPath(xs: number[], low: number[], high: number[], sx: Scale, sy: Scale): string {
  const there = linePath(xs, high, sx, sy);
  const back = linePath([...xs].reverse(), [...low].reverse(), sx, sy).replace(/^M/, 'L');
  return there && back ? `${there}${back}Z` : '';
}

/** The rows of the data table and of the CSV, with a heading. */
export function table(chart: Chart): string[][] {
  const unit = (label: string, of: string) => (of ? `${label}, ${of}` : label);
  const head = [
    unit(chart.x.label, chart.x.unit),
    unit(chart.y.label, chart.y.unit),
    unit('low', chart.y.unit),
    unit('high', chart.y.unit),
  ];
  const cell = (value: number | undefined) => (value === undefined ? '' : String(Number(value.toPrecision(4))));
  const rows = chart.x.values.map((x, at) => [cell(x), cell(chart.mid[at]), cell(chart.low[at]), cell(chart.high[at])]);
  return [head, ...rows];
}
