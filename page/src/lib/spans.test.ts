import { describe, expect, it } from 'vitest';
import { markSpan, spanIn } from './spans';

describe('markSpan', () => {
  it('cuts at the wrong part', () => {
    expect(markSpan('60 °X', [3, 5])).toEqual({ before: '60 ', wrong: '°X', after: '' });
  });
  it('gives an empty span something to show', () => {
    expect(markSpan('2', [1, 1])).toEqual({ before: '', wrong: '2', after: '' });
    expect(markSpan('', [0, 0])).toEqual({ before: '', wrong: '', after: '' });
  });
  it('stands spans that do not fit', () => {
    expect(markSpan('abc', [2, 90])).toEqual({ before: 'ab', wrong: 'c', after: '' });
    expect(markSpan('abc', [3, 1])).toEqual({ before: 'a', wrong: 'bc', after: '' });
  });
});

describe('spanIn', () => {
  it('takes the span, or the word that the reason quotes', () => {
    expect(spanIn('2 kx', { span: [0, 1], detail: 'unknown unit `kx`' })).toEqual([0, 1]);
    expect(spanIn('2 kx', { span: null, detail: 'unknown unit `kx` (use kg)' })).toEqual([2, 4]);
    expect(spanIn('2 kx', { span: null, detail: 'not `verb`, and no unit' })).toBeNull();
  });
});
