import { describe, expect, it } from 'vitest';
import { along, numeric, pasted, percentReach, plainPlace } from './taking';

describe('what is typed at the bench', () => {
  it('reads numbers with a point or a comma and nothing else', () => {
    expect(['288.4', '288,4', ' 12 ', '.5', '7.'].map(numeric)).toEqual([288.4, 288.4, 12, 0.5, 7]);
    expect(['', '.', '1.2.3', '288 mT', '-3', '1e3', 'x'].map(numeric)).toEqual(Array(7).fill(null));
  });

  it('takes several figures that are pasted, and a table with headings', () => {
    expect(pasted('288.4', 'mT')).toBeNull();
    expect(pasted('288,4 mT\n', 'mT')).toBeNull();
    expect(pasted('288.4\n289,1\r\n\n-2900 G\n', 'mT')).toEqual({
      kind: 'readings',
      values: ['288.4 mT', '289.1 mT', '2900 G'],
    });
    expect(pasted('288.4\t289.1', 'mT')).toEqual({ kind: 'readings', values: ['288.4 mT', '289.1 mT'] });
    expect(pasted('0.05 A m²\n0.06', 'A m²')).toEqual({ kind: 'readings', values: ['0.05 A m²', '0.06 A m²'] });
    expect(pasted('pieces\tvalue (mT)\n1\t288', 'mT')).toEqual({ kind: 'table', text: 'pieces\tvalue (mT)\n1\t288' });
    expect(pasted('288.4\nmuch', 'mT')).toEqual({ kind: 'wrong', line: 'much' });
    expect(pasted('288.4\n1.2.3', 'mT')).toEqual({ kind: 'wrong', line: '1.2.3' });
  });

  it('leaves out of a place what is not said', () => {
    expect(plainPlace({ kind: 'pull', pieces: 2, spacer: null, pole: null })).toEqual({ kind: 'pull', pieces: 2 });
  });

  it('keeps values on the line', () => {
    expect([along(5, 0, 10, 100), along(-1, 0, 10, 100), along(99, 0, 10, 100), along(1, 3, 3, 100)]).toEqual([
      50, 0, 100, 50,
    ]);
  });

  it('makes the scale of all rows hold their bands and what lies outside, within reason', () => {
    const row = { low: -5, high: 5, at: 1 };
    expect(percentReach([row])).toBe(8);
    expect(percentReach([row, { ...row, at: -12 }])).toBeCloseTo(13.2);
    expect(percentReach([row, { ...row, at: 300 }])).toBe(20);
    expect(percentReach([])).toBeGreaterThan(0);
  });
});
