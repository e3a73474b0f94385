// The ladder as a staircase: each rung as wide as the extra money and as high as the value, its label where it can be read.
import type { LadderView, RungView } from './interface';
import { linear, ticks, type Scale } from './scale';

export interface Step {
  rung: RungView;
  x: number;
  width: number;
  y: number;
  height: number;
  /** Middle of the label beneath the stair; moved aside where rungs are narrow. */
  labelX: number;
}

export interface Staircase {
  steps: Step[];
  width: number;
  height: number;
  left: number;
  right: number;
  ground: number;
  sy: Scale;
  ticks: number[];
  /** Rungs without a price stand in the table only. */
  left_out: number;
}

const SLIVER = 4;
const LEFT = 46;
const TOP = 26;

/** Moves places apart to at least `room` from one to the next, within `from..to`, changing each as little as it can. */
export function spread(wanted: number[], room: number, from: number, to: number): number[] {
  const step = Math.min(room, wanted.length > 1 ? (to - from) / (wanted.length - 1) : room);
  // Least squares with an order to keep: pool neighbours that would come too near and centre each pool on its mean.
  const pools: { sum: number; count: number }[] = [];
  wanted.forEach((place, index) => {
    pools.push({ sum: place - index * step, count: 1 });
    for (let last = pools.length - 1; last > 0; last -= 1) {
      const [before, after] = [pools[last - 1], pools[last]];
      if (!before || !after || before.sum / before.count <= after.sum / after.count) break;
      pools.splice(last - 1, 2, { sum: before.sum + after.sum, count: before.count + after.count });
    }
  });
  const last = to - (wanted.length - 1) * step;
  const starts = pools.flatMap(({ sum, count }) =>
    Array<number>(count).fill(Math.max(from, Math.min(last, sum / count))),
  );
  return starts.map((start, index) => start + index * step);
}

export function staircase(ladder: LadderView, width: number, labelRoom: number, foot: number): Staircase {
  const priced = ladder.rungs.some(({ price }) => price != null);
  const rungs = priced ? ladder.rungs.filter(({ price }) => price != null) : ladder.rungs;
  const height = Math.max(280, Math.min(400, width * 0.42)) + foot;
  const ground = height - foot;
  const right = width - 6;
  const most = Math.max(1e-12, ladder.ceiling?.value ?? 0, ...rungs.map(({ high }) => high.value));
  const sy = linear(0, most * 1.06, ground, TOP);

  // Money spent so far; a rung that costs no more than the one before is a sliver.
  let spent = 0;
  const costs = rungs.map(({ price }) => {
    const extra = priced ? Math.max(0, (price ?? 0) - spent) : 1;
    spent += extra;
    return extra;
  });
  const slivers = costs.filter((extra) => extra / (spent || 1) < SLIVER / (right - LEFT)).length;
  const perMoney = (right - LEFT - slivers * SLIVER) / (spent || 1);
  let x = LEFT;
  const steps = rungs.map((rung, index): Step => {
    const wide = Math.max(SLIVER, (costs[index] ?? 0) * perMoney);
    const y = sy.at(rung.value.value);
    const step = { rung, x, width: wide, y, height: ground - y, labelX: 0 };
    x += wide;
    return step;
  });
  const middles = spread(
    steps.map((step) => step.x + step.width / 2),
    labelRoom,
    LEFT + labelRoom / 2 - 8,
    right - labelRoom / 2 + 4,
  );
  steps.forEach((step, index) => (step.labelX = middles[index] ?? step.x));
  return {
    steps,
    width,
    height,
    left: LEFT,
    right,
    ground,
    sy,
    ticks: ticks(0, sy.to, 6),
    left_out: ladder.rungs.length - rungs.length,
  };
}

/** The unit that all labels end in, so that narrow drawings can say it once: `6 mm, 8 mm` gives `mm`. */
export function commonUnit(labels: string[]): string {
  const ends = labels.map((label) => /^[\d.,/\-\s\u00a0]+?[\s\u00a0]*([^\d\s\u00a0.,/]+)$/.exec(label)?.[1] ?? '');
  const unit = ends[0] ?? '';
  return unit && ends.every((end) => end === unit) ? unit : '';
}

export function withoutUnit(label: string, unit: string): string {
  return unit && label.endsWith(unit) ? label.slice(0, -unit.length).trim() : label;
}
