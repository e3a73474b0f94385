// The geometry of a flux picture: what part of the world is shown, and the scale bar on it.
import type { Interval, Picture } from './contract';

export interface View {
  x: Interval;
  z: Interval;
}

/** The shown part: the computed part, and the steel below it as far as it is worth showing. */
export function viewOf({ x_range_mm, z_range_mm, steel }: Picture): View {
  const [left, right] = x_range_mm;
  let [bottom, top] = z_range_mm;
  if (steel) {
    const most = (right - left) * 0.09;
    bottom = Math.min(bottom, steel.z_mm - Math.min(steel.thickness_mm ?? most, most));
  }
  return { x: [left, right], z: [bottom, top] };
}

/** A round length (1, 2 or 5 times a power of ten) of about a fifth of the width. */
export function scaleBar(width_mm: number): number {
  const aim = width_mm / 5;
  const power = 10 ** Math.floor(Math.log10(aim));
  const step = [5, 2, 1].find((factor) => factor * power <= aim * 1.001) ?? 1;
  return step * power;
}

/** The scale bar's words in the reader's units. */
export function barText(length_mm: number, inch: boolean): string {
  const length = inch ? length_mm / 25.4 : length_mm;
  return `${Number(length.toPrecision(3))} ${inch ? 'in' : 'mm'}`;
}

/** The scale bar for a picture: its length in millimetres and its words. */
export function bar(width_mm: number, inch: boolean): { length_mm: number; text: string } {
  const length_mm = inch ? scaleBar(width_mm / 25.4) * 25.4 : scaleBar(width_mm);
  return { length_mm, text: barText(length_mm, inch) };
}
