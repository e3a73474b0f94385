// Cutting texts where the server marks them.
import type { Pair } from './interface';

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
