// Side views of builds, all of one list to one scale.
import type { Silhouette } from './interface';

export interface Box {
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface Drawing {
  round: boolean;
  pieces: Box[];
  /** Walls of a bore, drawn inside each piece of a ring. */
  bores: Box[];
  /** Closed outlines of a steel part, as SVG points. */
  steel: string[];
}

const PAIR_AIR = 0.16;

/** Height of the whole drawing in millimetres; the gap of a pair is drawn at most as high as one side. */
function height(silhouette: Silhouette): number {
  const side = silhouette.height_mm * silhouette.pieces;
  if (silhouette.part) return silhouette.part.height_mm;
  return silhouette.pair ? 2 * side + drawnGap(silhouette) : side;
}

function drawnGap({ pair, height_mm, pieces }: Silhouette): number {
  const side = height_mm * pieces;
  return pair ? Math.min(Math.max(pair.gap_mm, side * PAIR_AIR), side) : 0;
}

/** Drawing units for each millimetre such that every silhouette fits into `width` by `tall`. */
export function commonScale(silhouettes: Silhouette[], width: number, tall: number): number {
  const wide = (one: Silhouette) => Math.max(one.width_mm, one.part?.width_mm ?? 0);
  const scales = silhouettes.map((one) => Math.min(width / wide(one), tall / height(one)));
  const least = Math.min(...scales.filter((scale) => Number.isFinite(scale) && scale > 0));
  return Number.isFinite(least) ? least : 1;
}

/** The pieces of one build, standing on `ground` and centred on `middle`. */
export function draw(silhouette: Silhouette, scale: number, middle: number, ground: number): Drawing {
  const width = Math.max(1.5, silhouette.width_mm * scale);
  const piece = Math.max(1, silhouette.height_mm * scale);
  const sides = silhouette.pair ? 2 : 1;
  const pieces: Box[] = [];
  let y = ground - (silhouette.part?.lift_mm ?? 0) * scale;
  for (let side = 0; side < sides; side += 1) {
    for (let count = 0; count < silhouette.pieces; count += 1) {
      y -= piece;
      pieces.push({ x: middle - width / 2, y, width, height: piece });
    }
    if (side === 0) y -= drawnGap(silhouette) * scale;
  }
  const bore = silhouette.hole_mm * scale;
  const bores = bore > 0.5 ? pieces.map(({ y, height }) => ({ x: middle - bore / 2, y, width: bore, height })) : [];
  const steel = (silhouette.part?.outlines ?? []).map((outline) =>
    outline.map(([x, up]) => `${(middle + x * scale).toFixed(2)},${(ground - up * scale).toFixed(2)}`).join(' '),
  );
  return { round: silhouette.shape === 'sphere', pieces, bores, steel };
}
