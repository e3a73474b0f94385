import { describe, expect, it } from 'vitest';
import type { Caution, LadderView, RungView } from './interface';
import { rungCautions } from './ladder';

const caution = (text: string): Caution => ({
  runs: [{ text }],
  rule: '',
  severity: 'harm',
  short: '',
  rank: 1,
  about: '',
  leads: true,
});
const ladder = (...said: string[][]): LadderView => {
  const rungs = said.map((texts, index) => ({ label: `${index + 1} mm`, cautions: texts.map(caution) }));
  return { rungs: rungs as unknown as RungView[] } as LadderView;
};
const told = (view: LadderView) => rungCautions(view).map(({ runs, rungs }) => [runs[0]?.text, rungs]);

describe('the cautions of a ladder', () => {
  it('are each said once, with the rungs that they concern', () => {
    const view = ladder(['glass'], ['glass', 'pinch'], ['glass', 'pinch', 'far'], ['glass', 'pinch']);
    expect(told(view)).toEqual([
      ['glass', ''],
      ['pinch', '2 mm and on'],
      ['far', '3 mm'],
    ]);
    expect(told(ladder(['a'], [], ['a'], []))).toEqual([['a', '1 mm, 3 mm']]);
  });
  it('are none where nothing is warned of', () => expect(told(ladder([], []))).toEqual([]));
});
