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

/** What comes of a text that is pasted: readings with their units, a table with headings, or a line that is neither. */
export type Pasted =
  { kind: 'readings'; values: string[] } | { kind: 'table'; text: string } | { kind: 'wrong'; line: string };

/** Reads a text of several lines or columns; plain numbers are in `unit`. Null for a single figure, which is typed as it is. */
export function pasted(text: string, unit: string): Pasted | null {
  const lines = text
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line !== '');
  const first = lines[0];
  if (first === undefined || (lines.length < 2 && !first.includes('\t'))) return null;
  const headings = first.split(/[\t;,]/).map((cell) => cell.trim().replaceAll('"', '').toLowerCase());
  if (headings.some((cell) => /^(value|reading)\b/.test(cell))) return { kind: 'table', text: lines.join('\n') };
  const values: string[] = [];
  for (const cell of lines.flatMap((line) => line.split(/[\t;]/))) {
    const plain = cell.trim();
    if (plain === '') continue;
    const [, number, own] = /^-?([\d.,]+)\s*(\p{L}[\p{L}\d² ]*)?$/u.exec(plain) ?? [];
    if (number === undefined || numeric(number) === null) return { kind: 'wrong', line: plain };
    values.push(`${number.replace(',', '.')} ${own ?? unit}`);
  }
  return { kind: 'readings', values };
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
