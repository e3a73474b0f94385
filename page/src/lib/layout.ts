// Measures and label places of the chart, from the chart and the width there is.
import { bandPath, bottomOf, interpolate, linePath, topOf } from './chart';
import type { Chart } from './interface';
import { settle, type Rect, wide as widthOf } from './labels';
import { linear, ticks, type Scale } from './scale';

const TEXT = 12.5;

export interface Label {
  text: string;
  x: number;
  y: number;
  kind: 'need' | 'here' | 'remark';
}

export interface Layout {
  width: number;
  height: number;
  frame: Rect;
  sx: Scale;
  sy: Scale;
  xTicks: number[];
  yTicks: number[];
  line: string;
  band: string;
  labels: Label[];
}

/** `hereText` is what stands at the mark of the reader's own case. */
export function layout(chart: Chart, width: number, hereText: string): Layout {
  const narrow = width < 430;
  const height = narrow ? 230 : 260;
  const frame = { x: 44, y: 20, width: Math.max(60, width - 58), height: height - 56 };
  const xs = chart.x.values;
  const sx = linear(Math.min(...xs), Math.max(...xs), frame.x, frame.x + frame.width);
  const sy = linear(bottomOf(chart), topOf(chart), frame.y + frame.height, frame.y);
  const fine = Array.from({ length: 121 }, (_, index): [number, number] => {
    const x = sx.from + ((sx.to - sx.from) * index) / 120;
    return [sx.at(x), sy.at(interpolate(xs, chart.mid, x))];
  });
  return {
    width,
    height,
    frame,
    sx,
    sy,
    xTicks: ticks(sx.from, sx.to, narrow ? 4 : 7),
    yTicks: ticks(sy.from, sy.to, 5),
    line: linePath(xs, chart.mid, sx, sy),
    band: bandPath(xs, chart.low, chart.high, sx, sy),
    labels: place(chart, frame, sx, sy, fine, hereText),
  };
}

function place(chart: Chart, frame: Rect, sx: Scale, sy: Scale, line: [number, number][], hereText: string): Label[] {
  const labels: Label[] = [];
  const taken: Rect[] = [];
  const put = (kind: Label['kind'], text: string, wishes: { x: number; y: number }[]) => {
    const { at, room } = settle(text, TEXT, wishes, frame, taken, line);
    taken.push(room);
    labels.push({ kind, text, ...at });
  };
  const right = frame.x + frame.width;
  const wide = (text: string) => widthOf(text, TEXT);

  for (const level of [chart.need, chart.ceiling]) {
    if (!level) continue;
    const y = sy.at(level.y);
    const starts = [right - wide(level.text), right - wide(level.text) * 1.6, frame.x + 6];
    put(
      'need',
      level.text,
      starts.flatMap((x) => [
        { x, y: y - 6 },
        { x, y: y + 15 },
      ]),
    );
    // The level itself is something other labels should not lie on.
    taken.push({ x: frame.x, y: y - 1, width: frame.width, height: 2 });
  }
  if (chart.here) {
    const x = sx.at(chart.here.x);
    const y = sy.at(interpolate(chart.x.values, chart.mid, chart.here.x));
    const left = x - wide(hereText) - 10;
    put('here', hereText, [
      { x: x + 10, y: y - 8 },
      { x: x + 12, y: y - 22 },
      { x: x + 14, y: y - 36 },
      { x: left, y: y - 8 },
      { x: left, y: y + 20 },
      { x: x + 10, y: y + 22 },
      { x: x + 24, y: y - 52 },
      { x: x + 10, y: y + 40 },
    ]);
  }
  if (chart.remark) {
    const text = chart.remark;
    const wishes = [0.62, 0.5, 0.4, 0.3, 0.7].flatMap((share) => {
      const x = frame.x + frame.width * share;
      const [, y] = line[Math.round(share * 120)] ?? [0, frame.y];
      const start = Math.min(x, right - wide(text));
      return [10, 20, 32, 46, 62].flatMap((up) => [
        { x: start, y: y - up },
        { x: start, y: y + up + 10 },
      ]);
    });
    put('remark', text, wishes);
  }
  return labels;
}
