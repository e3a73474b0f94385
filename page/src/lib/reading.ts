// The customer's own text cut into phrases, each with what it became and how it is underlined.
import type { Understood, UnderstoodPart } from './interface';

/** What a phrase is about; each sort has its colour and its line. */
export type Sort = 'need' | 'between' | 'limit' | 'order' | 'magnet';

export const SORTS: { sort: Sort; text: string }[] = [
  { sort: 'need', text: 'what it must do' },
  { sort: 'between', text: 'what it sticks to, what lies between' },
  { sort: 'limit', text: 'limits and conditions' },
  { sort: 'magnet', text: 'the magnet' },
  { sort: 'order', text: 'the order' },
];

/** Where in the question a phrase went says what it is about. */
const PLACES: [RegExp, Sort][] = [
  [/^(\/question)?\/need\/(steel|layers|gap|direction|friction)/, 'between'],
  [/^(\/question)?\/(pieces|limits\/budget|limits\/in_stock|limits\/ships)/, 'order'],
  [/^(\/question)?\/(limits|conditions)/, 'limit'],
  [/^\/magnets/, 'magnet'],
];

export function sortOf(path: string | null | undefined): Sort {
  return PLACES.find(([place]) => place.test(path ?? ''))?.[1] ?? 'need';
}

export interface Phrase {
  text: string;
  /** What it was taken for; nothing for words that no place wanted. */
  part: UnderstoodPart | null;
}

/** The whole text as phrases, in order. Overlaps and gaps do no harm. */
export function phrases({ text, parts }: Understood): Phrase[] {
  const cut: Phrase[] = [];
  let at = 0;
  for (const part of [...parts].sort((a, b) => a.start - b.start)) {
    const start = Math.max(part.start, at);
    const end = Math.min(part.end, text.length);
    if (end <= start) continue;
    if (start > at) cut.push({ text: text.slice(at, start), part: null });
    cut.push({ text: text.slice(start, end), part: part.meaning ? part : null });
    at = end;
  }
  if (at < text.length) cut.push({ text: text.slice(at), part: null });
  return cut;
}

/** The sorts that occur, in the order of the key. */
export function sortsIn(understood: Understood): { sort: Sort; text: string }[] {
  const found = new Set(understood.parts.filter(({ meaning }) => meaning).map((part) => sortOf(part.place)));
  return SORTS.filter(({ sort }) => found.has(sort));
}

/** Words that no place wanted and that may matter. */
export function leftOut(understood: Understood): string[] {
  return understood.parts
    .filter(({ meaning }) => meaning === null || meaning === undefined)
    .map(({ start, end }) => understood.text.slice(start, end).trim())
    .filter((text) => /[\p{L}\p{N}]/u.test(text));
}
