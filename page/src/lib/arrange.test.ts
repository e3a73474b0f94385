import { describe, expect, it } from 'vitest';
import { bodies, KINDS, pointIn, request, SIZES, usual } from './arrange';

describe('bodies', () => {
  it.each(KINDS.map(({ kind }) => kind))('%s is one element that the interface takes', (kind) => {
    const [first, ...rest] = bodies(usual(kind));
    expect(rest).toHaveLength(0);
    expect(first).toHaveProperty(kind === 'one' ? 'shape' : 'arrangement');
  });
  it('gives every form its sizes', () => {
    for (const form of ['disc', 'ring', 'block', 'sphere'] as const) {
      const [first] = bodies({ ...usual('one'), form });
      expect(first).toHaveProperty('shape', form);
      expect(JSON.stringify(first)).not.toContain('null');
      expect(SIZES[form].length).toBeGreaterThan(0);
    }
  });
  it('makes steps narrower upwards', () => {
    const [tower] = bodies(usual('tower'));
    const of = (tower as { of: { diameter_mm: number }[] }).of.map(({ diameter_mm }) => diameter_mm);
    expect(of).toEqual([...of].sort((a, b) => b - a));
    expect(new Set(of).size).toBe(3);
  });
  it('stands a count that is none', () => expect(bodies({ ...usual('tower'), count: NaN })).toHaveLength(1));
});

it('asks for what is chosen', () =>
  expect(request({ ...usual('one'), plane: 'xy', map: 'none' })).toMatchObject({ plane: 'xy', map: 'none' }));

it.each([
  ['xz', [1, 0, 2]],
  ['yz', [0, 1, 2]],
  ['xy', [1, 2, 0]],
] as const)('a place in %s is a point in space', (plane, point) => expect(pointIn(plane, 1, 2)).toEqual(point));
