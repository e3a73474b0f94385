// Magnets by name: as typed by hand, and as a sentence calls them.
import type { NamedMagnet } from './interface';

/** `20 x 5 N42` is a disc, `20/8 x 5` a ring, `30 x 10 x 5 N45` a block; sizes in mm. Null where it is none of them. */
export function typedMagnet(text: string): NamedMagnet | null {
  const found =
    /^\s*(?:d|ø)?([\d.,]+)(?:\s*\/\s*([\d.,]+))?\s*[x×*]\s*([\d.,]+)(?:\s*[x×*]\s*([\d.,]+))?\s*(?:mm)?[\s,]*([\p{L}\d-]+)?\s*$/iu.exec(
      text,
    );
  if (!found) return null;
  const [, a = '', hole, b = '', c, grade] = found;
  const size_mm = [a, hole, b, c].filter((one) => one !== undefined).map((one) => Number(one.replace(',', '.')));
  if (size_mm.some((size) => !(size > 0)) || (hole && c)) return null;
  const shape = hole ? 'ring' : c ? 'block' : 'disc';
  return grade ? { shape, size_mm, grade: grade.toUpperCase() } : { shape, size_mm };
}

/** How a sentence calls a magnet: `20 × 5 mm N42 disc`. */
export function called({ shape, size_mm = [], grade, code }: NamedMagnet): string {
  if (code && size_mm.length === 0) return code;
  const sizes = shape === 'ring' ? `${size_mm[0]} / ${size_mm[1]} × ${size_mm[2]}` : size_mm.join(' × ');
  return [`${sizes}\u00a0mm`, grade ?? '', shape ?? 'magnet'].filter(Boolean).join(' ');
}
