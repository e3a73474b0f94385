// What a ladder warns of, said once, with the rungs that it concerns.
import type { Caution, LadderView } from './interface';
import { plain } from './report';

export interface RungCaution extends Caution {
  /** The rungs that it concerns, in words; empty where it concerns all of them. */
  rungs: string;
}

/** `8 mm`, `8 mm and on` where it concerns a rung and all after it, or the labels one by one. */
function concerned(ladder: LadderView, which: number[]): string {
  const all = ladder.rungs;
  const [first = 0] = which;
  if (which.length === all.length) return '';
  const label = all[first]?.label ?? '';
  if (which.length === 1) return label;
  if (which.length === all.length - first) return `${label} and on`;
  return which.map((index) => all[index]?.label ?? '').join(', ');
}

export function rungCautions(ladder: LadderView): RungCaution[] {
  const found = new Map<string, { caution: Caution; which: number[] }>();
  ladder.rungs.forEach(({ cautions }, index) => {
    for (const caution of cautions) {
      const known = found.get(plain(caution.runs));
      if (known) known.which.push(index);
      else found.set(plain(caution.runs), { caution, which: [index] });
    }
  });
  return [...found.values()].map(({ caution, which }) => ({ ...caution, rungs: concerned(ladder, which) }));
}
