// Finding room for labels: each takes the first of its wished places that lies inside the frame and touches nothing.

export interface Rect {
  x: number;
  y: number;
  width: number;
  height: number;
}

export interface Wish {
  /** Where the text's left end would be, and its baseline. */
  x: number;
  y: number;
}

const ASCENT = 0.8;
const AIR = 2;

/** How wide a letter is at size 1, at most: by its kind, as the face is proportional. */
function widthOf(letter: string): number {
  if (letter.length > 1) return 1.4;
  if (/[ .,:;'|!()[\]ijlItfr]/.test(letter)) return 0.36;
  if (/[mwMW@%…]/.test(letter)) return 0.98;
  if (/[A-ZÄÖÜ&=+−×<>]/.test(letter)) return 0.74;
  return /[\u0000-\u024f]/.test(letter) ? 0.6 : 0.8;
}

/** The width of a text, a little more rather than less. */
export const wide = (text: string, size: number): number =>
  [...text].reduce((sum, letter) => sum + widthOf(letter), 0) * size;

/** The room a text takes. */
export function roomOf(text: string, { x, y }: Wish, size: number): Rect {
  return { x, y: y - size * ASCENT, width: wide(text, size), height: size * 1.1 };
}

/** A text as far as it fits in so many pixels; what is cut ends with dots. */
export function cut(text: string, width: number, size: number): string {
  if (wide(text, size) <= width) return text;
  let used = wide('…', size);
  const letters = [...text];
  const end = letters.findIndex((letter) => (used += wide(letter, size)) > width);
  return `${letters.slice(0, end).join('')}…`;
}

function touch(a: Rect, b: Rect): boolean {
  return (
    a.x < b.x + b.width + AIR && b.x < a.x + a.width + AIR && a.y < b.y + b.height + AIR && b.y < a.y + a.height + AIR
  );
}

/** How much of the polyline lies in the rectangle, counted in points; the line is cut finely enough by the caller. */
function crossings(rect: Rect, line: [number, number][]): number {
  return line.filter(
    ([x, y]) =>
      x >= rect.x - AIR && x <= rect.x + rect.width + AIR && y >= rect.y - AIR && y <= rect.y + rect.height + AIR,
  ).length;
}

/** The best of the wishes: free of all, or else the one that meets the least. */
export function settle(
  text: string,
  size: number,
  wishes: Wish[],
  frame: Rect,
  taken: Rect[],
  line: [number, number][],
): { at: Wish; room: Rect; free: boolean } {
  const cost = (room: Rect): number => {
    const outside =
      Math.max(0, frame.x - room.x) +
      Math.max(0, room.x + room.width - frame.x - frame.width) +
      Math.max(0, frame.y - room.y) +
      Math.max(0, room.y + room.height - frame.y - frame.height);
    return outside * 10 + taken.filter((other) => touch(room, other)).length * 100 + crossings(room, line) * 5;
  };
  let best = wishes[0] ?? { x: frame.x, y: frame.y + size };
  let room = roomOf(text, best, size);
  let least = cost(room);
  for (const wish of wishes.slice(1)) {
    if (least === 0) break;
    const other = roomOf(text, wish, size);
    const price = cost(other);
    if (price < least) [best, room, least] = [wish, other, price];
  }
  return { at: best, room, free: least === 0 };
}
