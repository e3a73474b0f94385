// What comes back to words, ready for the page: how they were read, what is asked back, and the answer where there is one.
import type { AnswerSheet, AskBack, Enquiry, EnquirySheet, Reply, Understood } from './interface';

import type { Json } from './json';
import { read, write } from './pointer';

export interface Heard {
  sheet: EnquirySheet | null;
  asks: AskBack[];
  understood: Understood | null;
  /** The enquiry as far as it was said, to be completed; null where the answer has the whole question. */
  draft: Enquiry | null;
}

/** The parts of a reply. */
export function heard(reply: Reply): Heard {
  const { asks, kind, about, magnets, reason, told, question } = reply;
  const understood = reply.understood ?? null;
  if ('candidates' in reply)
    return { sheet: { ...(reply as AnswerSheet), kind: 'choose' }, asks, understood, draft: null };
  const said = { kind, about, magnets, question: question ?? {}, ...(reason ? { reason } : {}) } as Enquiry;
  return { sheet: told ?? null, asks, understood, draft: said };
}

/** An enquiry with an answer to what was asked back. */
export const answered = (draft: Enquiry, { place }: AskBack, value: Json): Enquiry => write(draft, place, value);

/** A question with what stood at one place standing at another: another reading of the same words. */
export function moved<T>(root: T, from: string, to: string): T {
  const value = read(root, from);
  if (value === undefined || to.startsWith(`${from}/`)) return root;
  return write(write(root, from, null), to, value);
}

const WORDS: Record<string, string> = {
  across: 'size of the plate',
  budget_each: 'price for each',
  budget_total: 'price in all',
  coldest: 'lowest temperature',
  count: 'pieces in a stack',
  far: 'where it must release',
  gap: 'gap',
  layers: 'what lies between',
  load: 'load',
  mass: 'greatest mass',
  material: 'material',
  narrowest: 'least width',
  near: 'where it must operate',
  off_axis: 'distance off the axis',
  pieces: 'how many',
  shared_by: 'how many share the load',
  shortest: 'least height',
  size_mm: 'size of the magnet',
  tallest: 'greatest height',
  thickness: 'thickness',
  warmest: 'highest temperature',
  widest: 'greatest width',
};

/** What stands at a place of an enquiry, in words: `/question/need/steel/thickness` is `thickness of the steel`. */
export function placeWords(place: string): string {
  const steps = place
    .split('/')
    .filter((step) => step && !/^\d+$/.test(step) && !['question', 'need', 'limits', 'conditions'].includes(step));
  const last = steps.at(-1) ?? '';
  const words = WORDS[last] ?? last.replaceAll('_', ' ');
  if (last !== 'layers' && steps.includes('layers')) return `${words} of a layer`;
  if (last !== 'steel' && steps.includes('steel')) return `${words} of the steel`;
  return words;
}
