// Cutting texts where the server marks them: byte spans into UTF-16, and texts into marked slices.
import type { Interval, Understood } from './contract';

/** A byte offset into the UTF-8 form of `text`, as an offset in UTF-16 units. */
export function byteToUtf16(text: string, bytes: number): number {
  let seen = 0;
  let units = 0;
  for (const character of text) {
    if (seen >= bytes) break;
    seen += new TextEncoder().encode(character).length;
    units += character.length;
  }
  return units;
}

export interface Marked {
  before: string;
  wrong: string;
  after: string;
}

/** Cuts `text` at a byte span. An empty span marks the character before it, so that there is something to see. */
export function markSpan(text: string, span: Interval): Marked {
  const end = byteToUtf16(text, Math.max(span[0], span[1]));
  let start = byteToUtf16(text, Math.min(span[0], span[1]));
  if (start === end) start = Math.max(0, start - 1);
  return { before: text.slice(0, start), wrong: text.slice(start, end), after: text.slice(end) };
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
