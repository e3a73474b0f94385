import { describe, expect, it } from 'vitest';
import type { LadderView, RungView } from './interface';
import { commonUnit, spread, staircase, withoutUnit } from './staircase';

const shown = (value: number) => ({ value, unit: 'mT', text: `${value} mT` });
const rung = (label: string, value: number, price: number | null): RungView => ({
  label,
  detail: '',
  code: null,
  value: shown(value),
  low: shown(value * 0.95),
  high: shown(value * 1.05),
  gain: null,
  total_gain: '',
  mass: shown(1),
  mass_multiple: '',
  price,
  price_text: '',
  cost_multiple: null,
  gain_per_money: null,
  tier: 'good',
  cautions: [],
});
const ladder = (rungs: RungView[]): LadderView => ({
  request: { body: { shape: 'disc', diameter: '20 mm' }, grade: 'N42', measure: { what: 'face' } },
  sentence: [],
  lead: [],
  y: { label: 'reading', unit: 'mT' },
  price: { label: 'price', unit: '€' },
  rungs,
  knee: null,
  ceiling: { value: 0, text: '' },
  solid_against_stack: [],
});

describe('staircase', () => {
  it('makes each rung as wide as the extra money and as high as the value', () => {
    const { steps, ground, sy } = staircase(
      ladder([rung('1', 100, 0.1), rung('2', 180, 0.3), rung('3', 200, 0.4)]),
      1000,
      50,
      80,
    );
    const [one, two, three] = steps.map(({ width }) => width);
    expect(Math.abs((two ?? 0) / (one ?? 1) - 2)).toBeLessThanOrEqual(1e-9);
    expect(Math.abs((three ?? 0) / (one ?? 1) - 1)).toBeLessThanOrEqual(1e-9);
    expect(steps[1]?.height).toBe(ground - sy.at(180));
  });
  it('shows a rung that costs no more as a sliver, and keeps the whole within its width', () => {
    const { steps, right } = staircase(
      ladder([rung('1', 100, 0.5), rung('2', 180, 0.4), rung('3', 200, 0.6)]),
      600,
      50,
      80,
    );
    expect(steps[1]?.width).toBe(4);
    const last = steps.at(-1);
    expect(Math.abs((last?.x ?? 0) + (last?.width ?? 0) - right)).toBeLessThanOrEqual(1e-6);
  });
  it('leaves rungs without a price out, unless none has one', () => {
    expect(staircase(ladder([rung('1', 1, 1), rung('2', 2, null)]), 600, 50, 80)).toMatchObject({ left_out: 1 });
    const free = staircase(ladder([rung('1', 1, null), rung('2', 2, null)]), 600, 50, 80);
    expect(free.steps.map(({ width }) => Math.round(width))).toEqual([274, 274]);
  });
  it('stands a ladder of one rung that costs nothing', () => {
    const { steps } = staircase(ladder([rung('1', 0, 0)]), 400, 30, 60);
    expect(steps.every(({ x, width, y, labelX }) => [x, width, y, labelX].every(Number.isFinite))).toBe(true);
  });
});

describe('spread', () => {
  const apart = (places: number[]) => places.slice(1).map((place, index) => place - (places[index] ?? 0));
  it('leaves places alone that have room', () => {
    expect(spread([10, 100, 200], 50, 0, 300)).toEqual([10, 100, 200]);
  });
  it('moves crowded places apart about their middle, in order and inside', () => {
    const places = spread([100, 104, 108], 30, 0, 400);
    expect(places).toEqual([74, 104, 134]);
    const crowd = spread([1, 2, 3, 4, 390], 60, 0, 400);
    expect(apart(crowd).every((gap) => gap >= 60 - 1e-9)).toBe(true);
    expect(crowd[0]).toBeGreaterThanOrEqual(0);
    expect(crowd.at(-1)).toBeLessThanOrEqual(400 + 1e-9);
  });
  it('shares the room evenly when there is too little', () => {
    expect(spread([1, 2, 3], 90, 0, 100)).toEqual([0, 50, 100]);
  });
});

describe('labels', () => {
  it.each([
    [['1 mm', '20 mm'], 'mm'],
    [['1-1/8 in', '2 in'], 'in'],
    [['N42', 'N52'], ''],
    [['2 mm', '1 in'], ''],
    [[], ''],
  ])('%j end in “%s”', (labels, unit) => expect(commonUnit(labels)).toBe(unit));
  it('drops the unit', () => expect(withoutUnit('20\u00a0mm', 'mm')).toBe('20'));
});
