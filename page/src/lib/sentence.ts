// The sentence as it is set: marks that follow a blank stay with it, so that no line begins with a comma.
import type { Blank, Segment } from './contract';

export type Piece = { text: string } | { blank: Blank; tail: string };

export function pieces(segments: Segment[]): Piece[] {
  const set: Piece[] = [];
  for (const segment of segments) {
    const last = set.at(-1);
    if ('blank' in segment) set.push({ blank: segment.blank, tail: '' });
    else if (last && 'blank' in last) {
      const mark = /^[,.;:?!)]+/.exec(segment.text)?.[0] ?? '';
      last.tail = mark;
      set.push({ text: segment.text.slice(mark.length) });
    } else set.push({ text: segment.text });
  }
  return set;
}
