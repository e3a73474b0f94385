// Measures and reading of a plot: several curves over shared axes, marks and stretches.
import type { Pair, Plot, PlotCurve } from './interface';
import { cut, settle, wide as widthOf, type Rect, type Wish } from './labels';
import { figure, linear, ticks, type Scale } from './scale';

const TEXT = 12;
/** Where along a curve its name is tried, the middle first. */
const SHARES = [0.5, 0.35, 0.65, 0.2, 0.8, 0.1, 0.9, 0.05, 0.95];
/** Height of a line of the key. */
const KEY = 17;
/** Length of the dash before a name in the key. */
const SAMPLE = 24;
/** How curves that stand beside the one that is read are told apart, in their order. */
const DASHES = ['', '8 4', '2 3', '8 3 2 3'];

export interface PlotLabel {
  text: string;
  x: number;
  y: number;
  kind: PlotCurve['role'] | 'mark' | 'stretch';
}

export interface PlotLayout {
  height: number;
  frame: Rect;
  sx: Scale;
  sy: Scale;
  xTicks: number[];
  yTicks: number[];
  paths: { d: string; role: PlotCurve['role']; dash: string }[];
  labels: PlotLabel[];
  /** Above the curves: their names, each beside a dash of its own, where they find no room on them, and words of marks that are
      wider than the drawing. */
  key: PlotName[];
}

/** A line of the key. */
export interface PlotName {
  text: string;
  role: PlotCurve['role'] | 'mark';
  dash: string;
  /** Where the name begins, and its baseline. */
  x: number;
  y: number;
  /** The dash before it. */
  sample: string;
}

/** The least and the greatest of the values, with nothing between them replaced by room to draw in. */
function range(values: number[]): [number, number] {
  const real = values.filter(Number.isFinite);
  const [low, high] = [Math.min(...real), Math.max(...real)];
  if (real.length === 0) return [0, 1];
  return high > low ? [low, high] : [low - Math.abs(low || 1) / 2, high + Math.abs(high || 1) / 2];
}

const across = (plot: Plot): number[] => [
  ...plot.curves.flatMap(({ points }) => points.map(([x]) => x)),
  ...plot.marks.map(({ at }) => at[0]),
];
const up = (plot: Plot): number[] => [
  ...plot.curves.filter(({ role }) => role !== 'guide').flatMap(({ points }) => points.map(([, y]) => y)),
  ...plot.marks.map(({ at }) => at[1]),
];

export function layoutPlot(plot: Plot, width: number): PlotLayout {
  const narrow = width < 430;
  const [left, right] = range(across(plot));
  const [bottom, top] = range(up(plot));
  const air = (top - bottom) * 0.06;
  // A value that starts from nothing is drawn from nothing.
  const floor = bottom >= 0 && bottom < top * 0.6 ? 0 : bottom - air;
  const drawn = (above: number, names: boolean) => {
    const tall = narrow ? 190 : 220;
    const frame = { x: 46, y: 22 + above, width: Math.max(60, width - 60), height: tall };
    const sx = linear(left, right, frame.x, frame.x + frame.width);
    const sy = linear(floor, top + air, frame.y + frame.height, frame.y);
    return { height: tall + above + 60, frame, sx, sy, ...place(plot, frame, sx, sy, names) };
  };
  const broad = plot.marks.filter(({ text }) => widthOf(text, TEXT) > width - 80);
  const above = KEY * broad.length;
  const onCurves = drawn(above, true);
  // Names that would lie on one another, or on a curve, stand above all of them; so do those of several curves that are told apart
  // by their dashes.
  const direct = onCurves.free && plot.curves.filter(({ role }) => role === 'beside').length < 2;
  const named = direct ? [] : plot.curves.filter(({ name }) => name);
  const layout = direct ? onCurves : drawn(above + KEY * named.length, false);
  const dashes = dashesOf(plot.curves);
  const lines = [
    ...named.map((curve) => ({
      text: curve.name,
      role: curve.role,
      dash: dashes[plot.curves.indexOf(curve)] ?? '',
    })),
    ...broad.map(({ text }) => ({ text, role: 'mark' as const, dash: '' })),
  ];
  return {
    height: layout.height,
    frame: layout.frame,
    sx: layout.sx,
    sy: layout.sy,
    labels: layout.labels,
    xTicks: ticks(left, right, narrow ? 4 : 7),
    yTicks: ticks(floor, top + air, 5),
    paths: plot.curves.map(({ points, role }, index) => ({
      d: pathOf(points, layout.sx, layout.sy),
      role,
      dash: dashes[index] ?? '',
    })),
    key: lines.map((line, at) => keyed(line, at, width)),
  };
}

/** The dashes of curves: those beside the one that is read differ from each other. */
function dashesOf(curves: PlotCurve[]): string[] {
  let beside = 0;
  return curves.map(({ role }) => (role === 'beside' ? (DASHES[beside++ % DASHES.length] ?? '') : ''));
}

/** A line of the key, below those before it. */
function keyed({ text, role, dash }: Pick<PlotName, 'text' | 'role' | 'dash'>, at: number, width: number): PlotName {
  const y = 12 + KEY * at;
  const middle = y - 4;
  const dot = `M${SAMPLE / 2 - 4} ${middle}a4 4 0 1 0 8 0a4 4 0 1 0 -8 0`;
  return {
    text: cut(text, width - SAMPLE - 8, TEXT),
    role,
    dash,
    x: SAMPLE + 8,
    y,
    sample: role === 'mark' ? dot : `M0 ${middle}H${SAMPLE}`,
  };
}

export function pathOf(points: Pair[], sx: Scale, sy: Scale): string {
  return points
    .filter(([x, y]) => Number.isFinite(x) && Number.isFinite(y))
    .map(([x, y], index) => `${index ? 'L' : 'M'}${sx.at(x).toFixed(1)} ${sy.at(y).toFixed(1)}`)
    .join('');
}

function place(plot: Plot, frame: Rect, sx: Scale, sy: Scale, names: boolean): { labels: PlotLabel[]; free: boolean } {
  const labels: PlotLabel[] = [];
  let free = true;
  const taken: Rect[] = [];
  const lines = plot.curves.flatMap(({ points }) => dense(points.map(([x, y]) => [sx.at(x), sy.at(y)])));
  const put = (kind: PlotLabel['kind'], text: string, wishes: Wish[]) => {
    if (!text) return;
    const settled = settle(text, TEXT, wishes, frame, taken, lines);
    const { at, room } = settled;
    if (kind !== 'mark' && kind !== 'stretch') free &&= settled.free;
    taken.push(room);
    labels.push({ kind, text, ...at });
  };
  const wide = (text: string) => widthOf(text, TEXT);
  for (const { at, text } of plot.marks) {
    const [x, y] = [sx.at(at[0]), sy.at(at[1])];
    taken.push({ x: x - 5, y: y - 5, width: 10, height: 10 });
    put(
      'mark',
      wide(text) > frame.width - 20 ? '' : text,
      [-8, 18, -24, 34, -40, 50].flatMap((drop) => [
        { x: x + 10, y: y + drop },
        { x: x - 10 - wide(text), y: y + drop },
        { x: x - wide(text) / 2, y: y + drop * 1.2 },
      ]),
    );
  }
  for (const { from, to, text } of plot.stretches) {
    const middle = (sx.at(from) + sx.at(to)) / 2 - wide(text) / 2;
    put(
      'stretch',
      text,
      [14, 30, frame.height - 8, 46].map((drop) => ({ x: middle, y: frame.y + drop })),
    );
  }
  const seen = ([x, y]: [number, number]) =>
    x >= frame.x && x <= frame.x + frame.width && y >= frame.y && y <= frame.y + frame.height;
  for (const { points, name, role } of names ? plot.curves : []) {
    // A curve that runs out of the frame is named where it can be seen, or not at all.
    const along = dense(points.map(([x, y]) => [sx.at(x), sy.at(y)])).filter(seen);
    if (along.length === 0) continue;
    put(
      role,
      name,
      SHARES.flatMap((share) => {
        const [x, y] = along[Math.round(share * (along.length - 1))] ?? [frame.x, frame.y];
        return [-7, 16, -20, 30, -36].flatMap((drop) => [
          { x: x + 6, y: y + drop },
          { x: x - wide(name) - 6, y: y + drop },
        ]);
      }),
    );
  }
  return { labels, free };
}

/** Points along a polyline close enough to find what lies on it. */
function dense(line: [number, number][]): [number, number][] {
  return line.flatMap(([x, y], index) => {
    const [x1, y1] = line[index + 1] ?? [x, y];
    const steps = Math.max(1, Math.min(40, Math.ceil(Math.hypot(x1 - x, y1 - y) / 6)));
    return Array.from({ length: steps }, (_, step): [number, number] => [
      x + ((x1 - x) * step) / steps,
      y + ((y1 - y) * step) / steps,
    ]);
  });
}

/** The value of a curve at `x`, where it has one. Curves may run in either direction; the first crossing counts. */
export function valueAt(points: Pair[], x: number): number | null {
  for (let index = 1; index < points.length; index++) {
    const [x0, y0] = points[index - 1] ?? [NaN, NaN];
    const [x1, y1] = points[index] ?? [NaN, NaN];
    if ((x0 - x) * (x1 - x) <= 0 && x0 !== x1) return y0 + ((x - x0) / (x1 - x0)) * (y1 - y0);
  }
  return null;
}

/** What every named curve says at `x`, in words. */
export function readPlot(plot: Plot, x: number): string {
  const unit = (text: string) => (text ? `\u00a0${text}` : '');
  const values = plot.curves
    .filter(({ role }) => role !== 'guide')
    .flatMap(({ name, points }) => {
      const value = valueAt(points, x);
      return value === null ? [] : [`${name} ${figure(value)}${unit(plot.y.unit)}`];
    });
  return `${plot.x.label} ${figure(x)}${unit(plot.x.unit)}: ${values.join(', ') || 'nothing here'}`;
}

/** The rows of the table and of the CSV: curve, x, y. */
export function plotTable(plot: Plot): string[][] {
  const head = (axis: Plot['x']) => (axis.unit ? `${axis.label}, ${axis.unit}` : axis.label);
  const cell = (value: number) => String(Number(value.toPrecision(5)));
  return [
    ['curve', head(plot.x), head(plot.y)],
    ...plot.curves.flatMap(({ name, points }) => points.map(([x, y]) => [name, cell(x), cell(y)])),
  ];
}
