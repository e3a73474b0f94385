import { describe, expect, it } from 'vitest';
import { hints, markSpan, slices, spanIn, unknownWords } from './spans';

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

describe('slices', () => {
  const text = 'hold 2 kg pls';
  const parts = [
    { start: 10, end: 13, meaning: null },
    { start: 0, end: 4, meaning: 'hold' },
    { start: 5, end: 9, meaning: 'load' },
  ];
  it('covers the text in order', () => {
    const cut = slices({ text, parts });
    expect(cut.map((slice) => slice.text).join('')).toBe(text);
    expect(cut.filter(({ meaning }) => meaning !== undefined).map(({ meaning }) => meaning)).toEqual([
      'hold',
      'load',
      null,
    ]);
  });
  it('stands overlaps and parts past the end', () => {
    const odd = [...parts, { start: 3, end: 7, meaning: 'x' }, { start: 12, end: 50, meaning: 'y' }];
    expect(
      slices({ text, parts: odd })
        .map((slice) => slice.text)
        .join(''),
    ).toBe(text);
  });
  it('names the words that were not understood', () => {
    expect(unknownWords({ text, parts })).toEqual(['pls']);
  });
  it('passes on what may have been meant', () => {
    expect(
      hints({
        text,
        parts: [
          { start: 0, end: 4, meaning: 'hold', hint: 'x' },
          { start: 10, end: 13, meaning: null, hint: 'pcs?' },
        ],
      }),
    ).toEqual(['pcs?']);
  });
});
