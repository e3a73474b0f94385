import { describe, expect, it } from 'vitest';
import { called, typedMagnet } from './named';

describe('a magnet that is typed', () => {
  it.each([
    ['20 x 5 N42', { shape: 'disc', size_mm: [20, 5], grade: 'N42' }],
    ['D18x4', { shape: 'disc', size_mm: [18, 4] }],
    ['20/8 x 5 n45', { shape: 'ring', size_mm: [20, 8, 5], grade: 'N45' }],
    ['30 × 10,5 × 5 mm N45SH', { shape: 'block', size_mm: [30, 10.5, 5], grade: 'N45SH' }],
  ])('%s', (text, magnet) => expect(typedMagnet(text)).toEqual(magnet));
  it.each(['', '20', 'x 5', '0 x 5', '20/8 x 5 x 3', 'wide x 5'])('%s is none', (text) =>
    expect(typedMagnet(text)).toBeNull(),
  );
});

it('is called by its size, grade and shape', () => {
  expect(called({ shape: 'ring', size_mm: [20, 8, 5], grade: 'N42' })).toBe('20 / 8 × 5\u00a0mm N42 ring');
  expect(called({ code: '14-07' })).toBe('14-07');
});
