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

/** The ends of a band as people read them: rounded outwards, to a step between 0.5 and 5 % of its width. */
export function outwards(low: number, high: number): [string, string] {
  const width = high - low;
  if (!(width > 0) || !Number.isFinite(width)) return [figure(low), figure(high)];
  const power = Math.floor(Math.log10(width / 20));
  const exact = 10 ** Math.abs(power);
  // An end that lies on a step but for rounding stays there.
  const onStep = 1e-6;
  const steps = (value: number) => (power < 0 ? value * exact : value / exact);
  const said = (count: number) =>
    (power < 0 ? count / exact : count * exact)
      .toLocaleString('en', { minimumFractionDigits: Math.max(0, -power), maximumFractionDigits: Math.max(0, -power) })
      .replace('-', '−');
  return [said(Math.floor(steps(low) + onStep)), said(Math.ceil(steps(high) - onStep))];
}
