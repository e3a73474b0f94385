// Linear scales and round ticks.

export interface Scale {
  from: number;
  to: number;
  at(value: number): number;
  back(pixel: number): number;
}

/** Maps `from..to` onto `start..end` in pixels. A zero domain maps to the middle. */
export function linear(from: number, to: number, start: number, end: number): Scale {
  const width = to - from;
  return {
    from,
    to,
    at: (value) => (width === 0 ? (start + end) / 2 : start + ((value - from) / width) * (end - start)),
    back: (pixel) => (end === start ? from : from + ((pixel - start) / (end - start)) * width),
  };
}

/** Round ticks (steps of 1, 2 or 5 times a power of ten) within `from..to`, about `count` of them. */
export function ticks(from: number, to: number, count: number): number[] {
  if (!(to > from) || count < 1) return [from];
  const rough = (to - from) / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 5].find((factor) => factor * power >= rough * 0.999) ?? 10) * power;
  const first = Math.ceil(from / step - 1e-9);
  const last = Math.floor(to / step + 1e-9);
  return Array.from({ length: last - first + 1 }, (_, index) => Number(((first + index) * step).toPrecision(12)));
}

/** A number as people write it: three significant digits, no exponent, no trailing zeros, a true minus. */
export function figure(value: number): string {
  if (!Number.isFinite(value)) return '–';
  const rounded = Math.abs(value) >= 1000 ? Math.round(value) : Number(value.toPrecision(3));
  return rounded.toLocaleString('en', { maximumSignificantDigits: 12 }).replace('-', '−');
}
