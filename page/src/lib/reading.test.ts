import { describe, expect, it } from 'vitest';
import type { Understood } from './interface';
import { leftOut, phrases, sortOf, sortsIn } from './reading';

const text = 'Hi, hold 2 kg, white, 50 pcs';
const parts = [
  { start: 4, end: 13, meaning: 'load', place: '/need/load' },
  { start: 15, end: 20, meaning: null },
  { start: 22, end: 28, meaning: 'pieces', place: '/pieces' },
];
const understood = { text, parts } as unknown as Understood;

describe('a text that was read', () => {
  it('is cut into phrases that make it up whole', () => {
    const cut = phrases(understood);
    expect(cut.map((phrase) => phrase.text).join('')).toBe(text);
    expect(cut.filter(({ part }) => part).map((phrase) => phrase.text)).toEqual(['hold 2 kg', '50 pcs']);
  });

  it('loses nothing where parts overlap or run beyond it', () => {
    const odd = { text, parts: [...parts, { start: 8, end: 99, meaning: 'x' }] } as unknown as Understood;
    expect(
      phrases(odd)
        .map((phrase) => phrase.text)
        .join(''),
    ).toBe(text);
  });

  it('names what was left out, and why it may matter', () => {
    expect(leftOut(understood)).toEqual(['white']);
    const marks = { text: 'a, b', parts: [{ start: 1, end: 3, meaning: null }] } as unknown as Understood;
    expect(leftOut(marks)).toEqual([]);
  });

  it('says with its place in the question how a phrase is underlined', () => {
    const cases = { '/need/load': 'need', '/question/need/steel/thickness': 'between', '/limits/widest': 'limit' };
    for (const [path, sort] of Object.entries({ ...cases, '/magnets/0/grade': 'magnet', '/pieces': 'order' }))
      expect(sortOf(path), path).toBe(sort);
    expect(sortsIn(understood).map(({ sort }) => sort)).toEqual(['need', 'order']);
  });
});
