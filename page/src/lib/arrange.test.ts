import { describe, expect, it } from 'vitest';
import { bodies, KINDS, pointIn, request, sentence, setupFrom, usual } from './arrange';

const said = (kind: Parameters<typeof usual>[0]) =>
  sentence(usual(kind))
    .map(({ text }) => text)
    .join('');

describe('a set-up', () => {
  it.each(KINDS.map(({ kind }) => kind))('%s is one element that the interface takes', (kind) => {
    const [first, ...rest] = bodies(usual(kind));
    expect(rest).toHaveLength(0);
    expect(JSON.stringify(first)).toContain('"named"');
  });

  it('reads as a sentence', () => {
    expect(said('facing_pair')).toBe(
      'Two 20 × 5 mm N42 discs facing, unlike poles, 10 mm apart: field in the plane through the axis.',
    );
    expect(said('circle')).toMatch(/^Eight .* on a circle of 40 mm radius, poles alternating/);
    expect(said('one')).toBe('One 20 × 5 mm N42 disc: field in the plane through the axis.');
  });

  it('keeps the magnet that was picked', () => {
    const picked = { magnet: { code: '14-07' }, called: 'a 14-07' };
    expect(bodies(usual('pile', picked))).toMatchObject([{ of: { named: { code: '14-07' } } }]);
  });
});

describe('a link', () => {
  it('brings a set-up back', () => {
    const setup = { ...usual('circle'), count: 6 };
    expect(setupFrom(JSON.stringify(setup))).toEqual(setup);
  });
  it('may name magnets, as answers do', () => {
    const stack = { shape: 'disc', size_mm: [10, 3], grade: 'N45', count: 4 };
    expect(setupFrom(JSON.stringify({ magnets: [stack] }))).toMatchObject({ kind: 'pile', count: 4 });
    expect(setupFrom(JSON.stringify({ magnets: [{ code: '1', pair: true }] }))).toMatchObject({ kind: 'facing_pair' });
  });
  it('that is cut begins afresh', () => {
    for (const link of [undefined, '', '{"kind"', '{"kind":"heart"}', '3']) expect(setupFrom(link)).toBeNull();
  });
});

it('asks for the plane that is chosen', () =>
  expect(request({ ...usual('one'), plane: 'xy' })).toMatchObject({ plane: 'xy' }));

it.each([
  ['xz', [1, 0, 2]],
  ['yz', [0, 1, 2]],
  ['xy', [1, 2, 0]],
] as const)('a place in %s is a point in space', (plane, point) => expect(pointIn(plane, 1, 2)).toEqual(point));
