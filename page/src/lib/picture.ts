// The geometry of a flux picture: what part of the world is shown, and the scale bar on it.
import type { Pair, Picture } from './interface';

export interface View {
  x: Pair;
  z: Pair;
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

/** Turns millimetres into drawing units. */
export interface Frame {
  scale: number;
  px(x: number): number;
  pz(z: number): number;
}

export interface Half {
  x: number;
  y: number;
  width: number;
  height: number;
  north: boolean;
}

export interface Letter {
  x: number;
  y: number;
  text: 'N' | 'S';
}

type Magnet = Picture['magnets'][number];

/** The sections of a magnet from left to right: one, or two where a bore is cut. */
function walls({ x_mm, hole_mm }: Magnet): Pair[] {
  const middle = (x_mm[0] + x_mm[1]) / 2;
  if (!(hole_mm > 0)) return [x_mm];
  return [
    [x_mm[0], middle - hole_mm / 2],
    [middle + hole_mm / 2, x_mm[1]],
  ];
}

/** A magnet as its two pole halves, in every section. */
export function halves(magnet: Magnet, { scale, px, pz }: Frame): Half[] {
  const height = ((magnet.z_mm[1] - magnet.z_mm[0]) / 2) * scale;
  return [true, false].flatMap((upper) =>
    walls(magnet).map(([from, to]) => ({
      x: px(from),
      y: pz(magnet.z_mm[1]) + (upper ? 0 : height),
      width: (to - from) * scale,
      height,
      north: upper === magnet.north_up,
    })),
  );
}

const INSIDE_HEIGHT = 13;
const INSIDE_WIDTH = 14;

/** Magnets that lie on one another the same way up are one magnet to the eye; plating keeps them a little apart. */
function stacks(magnets: Magnet[]): Magnet[][] {
  const found: Magnet[][] = [];
  for (const magnet of [...magnets].sort((a, b) => a.z_mm[0] - b.z_mm[0])) {
    const below = found.at(-1)?.at(-1);
    const near = below && magnet.z_mm[0] - below.z_mm[1] <= 0.15 * (magnet.z_mm[1] - magnet.z_mm[0]);
    if (near && below.north_up === magnet.north_up && below.x_mm[0] === magnet.x_mm[0]) found.at(-1)?.push(magnet);
    else found.push([magnet]);
  }
  return found;
}

/** Where the poles' letters go: into the halves, or beside a stack whose pieces are too thin to hold them. */
export function letters(magnets: Magnet[], frame: Frame): Letter[] {
  return stacks(magnets).flatMap((stack) => {
    const parts = stack.flatMap((magnet) => halves(magnet, frame));
    const text = (half: Half): Letter['text'] => (half.north ? 'N' : 'S');
    if (parts.every(({ width, height }) => height >= INSIDE_HEIGHT && width >= INSIDE_WIDTH))
      return parts.map((half) => ({ x: half.x + half.width / 2, y: half.y + half.height / 2 + 4.5, text: text(half) }));
    const sorted = parts.sort((a, b) => a.y - b.y);
    const [upper, lower] = [sorted[0], sorted.at(-1)];
    if (!upper || !lower) return [];
    const middle = (upper.y + lower.y + lower.height) / 2;
    const apart = Math.max((lower.y + lower.height - upper.y) / 2 - 5, 6.5);
    const x = upper.x - 10;
    return [
      { x, y: middle - apart + 4.5, text: text(upper) },
      { x, y: middle + apart + 4.5, text: text(lower) },
    ];
  });
}
