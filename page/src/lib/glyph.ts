// The common scale of the band glyphs in one list, so that bars can be compared down the page.

export interface Span {
  from: number;
  to: number;
}

/** The span that holds every band and the need, with a little air; a zero span is opened so that places exist. */
export function spanOf(bands: { low: number; high: number }[], marks: number[]): Span {
  const values = [...bands.flatMap(({ low, high }) => [low, high]), ...marks].filter(Number.isFinite);
  if (values.length === 0) return { from: 0, to: 1 };
  const from = Math.min(...values);
  const to = Math.max(...values);
  const air = (to - from || Math.abs(to) || 1) * 0.08;
  return { from: from - air, to: to + air };
}

/** Where `value` falls on `width`; what lies outside is held at the edge. */
export function place(value: number, { from, to }: Span, width: number): number {
  const share = (value - from) / (to - from);
  return Math.max(0, Math.min(1, Number.isFinite(share) ? share : 0)) * width;
}
