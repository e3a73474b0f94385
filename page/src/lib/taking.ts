// What is typed at the bench: numbers, units, spacers, and where a reading is taken.
import type { PlaceBody, PlaceView } from './interface';

/** The units that a reading of each kind may be typed in. */
export const UNITS: Record<NonNullable<PlaceBody['kind']>, string[]> = {
  flux_density: ['mT', 'G', 'T'],
  pull: ['N', 'kgf', 'lbf'],
  moment: ['A m²'],
};

/** What the key for a spacer goes through; empty is the face itself. */
export const SPACERS = ['', '0.5 mm', '1 mm', '2 mm', '5 mm'];

/** The number that a text is, with a point or a comma; null where it is none. */
export function numeric(text: string): number | null {
  const plain = text.trim().replace(',', '.');
  if (!/^\d*\.?\d+$|^\d+\.$/.test(plain)) return null;
  const value = Number(plain);
  return Number.isFinite(value) ? value : null;
}

/** A place as it is sent: what is not said is left out. */
export function plainPlace(place: PlaceView | PlaceBody): PlaceBody {
  return Object.fromEntries(Object.entries(place).filter(([, value]) => value !== null && value !== undefined));
}

/** Where a value lies on a line of `width` between two ends, kept on it. */
export function along(value: number, from: number, to: number, width: number): number {
  if (!(to > from)) return width / 2;
  return Math.max(0, Math.min(width, ((value - from) / (to - from)) * width));
}

/** The per cents that one scale for all rows must hold: twice the widest band, and no more than makes bands too small to see. */
export function percentReach(rows: { low: number; high: number; at: number }[]): number {
  const bands = rows.flatMap(({ low, high }) => [Math.abs(low), Math.abs(high)]).filter(Number.isFinite);
  const widest = Math.max(2, ...bands);
  const farthest = Math.max(0, ...rows.map(({ at }) => Math.abs(at)).filter(Number.isFinite));
  return Math.min(Math.max(widest * 1.6, farthest * 1.1), widest * 4);
}
