// Cutting texts where the server marks them.
import type { Pair, Understood } from './interface';

export interface Marked {
  before: string;
  wrong: string;
  after: string;
}

/** Cuts `text` at a span. An empty span marks the character before it, so that there is something to see. */
export function markSpan(text: string, span: Pair): Marked {
  const end = Math.min(text.length, Math.max(...span));
  let start = Math.min(text.length, ...span);
  if (start === end) start = Math.max(0, start - 1);
  return { before: text.slice(0, start), wrong: text.slice(start, end), after: text.slice(end) };
}

/** Where a problem lies in `text`: at its span, or else at the first word it quotes `so` that the text holds. */
export function spanIn(text: string, { span, detail }: { span?: Pair | null; detail: string }): Pair | null {
  if (span) return span;
  for (const [, quoted = ''] of detail.matchAll(/`([^`]+)`/g)) {
    const start = text.lastIndexOf(quoted);
    if (start >= 0) return [start, start + quoted.length];
  }
  return null;
}

export interface Slice {
  text: string;
  /** `null`: not understood; `undefined`: nothing was said about it; a text: what it was taken for. */
  meaning: string | null | undefined;
}

/** The whole text as slices, in order, with what each was taken for. Overlaps and gaps do no harm. */
export function slices({ text, parts }: Understood): Slice[] {
  const cut: Slice[] = [];
  let at = 0;
  for (const part of [...parts].sort((a, b) => a.start - b.start)) {
    const start = Math.max(part.start, at);
    const end = Math.min(part.end, text.length);
    if (end <= start) continue;
    if (start > at) cut.push({ text: text.slice(at, start), meaning: undefined });
    cut.push({ text: text.slice(start, end), meaning: part.meaning });
    at = end;
  }
  if (at < text.length) cut.push({ text: text.slice(at), meaning: undefined });
  return cut;
}

/** The words that were not understood, in order. */
export function unknownWords(understood: Understood): string[] {
  return slices(understood)
    .filter((slice) => slice.meaning === null)
    .map((slice) => slice.text.trim())
    .filter(Boolean);
}

/** What may have been meant by the words that were not understood. */
export function hints(understood: Understood): string[] {
  return understood.parts.flatMap(({ meaning, hint }) => (meaning === null && hint ? [hint] : []));
}
