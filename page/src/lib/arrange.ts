// The set-ups of the Field place: each a sentence with blanks, and the request that it stands for. Lengths are text with a unit.
import type { Json } from './json';
import { called } from './named';
import type { NamedMagnet } from './interface';

export type Kind = 'one' | 'pile' | 'facing_pair' | 'grid' | 'circle' | 'halbach_row' | 'on_steel' | 'own';

export interface Setup {
  kind: Kind;
  magnet: NamedMagnet;
  /** How the magnet is called in the sentence. */
  called: string;
  count: number;
  /** Between faces, or from a magnet to the steel. */
  gap: string;
  /** From middle to middle. */
  pitch: string;
  radius: string;
  like: boolean;
  alternating: boolean;
  plane: 'xz' | 'yz' | 'xy';
}

/** A place in the sentence that can be filled: one of `Setup`'s, and how it is filled. */
export type Part =
  | { text: string }
  | { blank: 'magnet' | 'count' | 'gap' | 'pitch' | 'radius'; text: string }
  | { blank: 'like' | 'alternating' | 'plane'; text: string; choices: { value: string | boolean; text: string }[] };

export const KINDS: { kind: Kind; text: string }[] = [
  { kind: 'one', text: 'one' },
  { kind: 'pile', text: 'a stack' },
  { kind: 'facing_pair', text: 'facing' },
  { kind: 'grid', text: 'a square' },
  { kind: 'circle', text: 'a circle' },
  { kind: 'halbach_row', text: 'a Halbach row' },
  { kind: 'on_steel', text: 'on steel' },
  { kind: 'own', text: 'your own' },
];

const DISC: NamedMagnet = { shape: 'disc', size_mm: [20, 5], grade: 'N42' };
const BLOCK: NamedMagnet = { shape: 'block', size_mm: [10, 10, 10], grade: 'N42' };

/** Something worth seeing of each kind; the magnet stays where one was picked. */
export function usual(kind: Kind, picked?: Pick<Setup, 'magnet' | 'called'>): Setup {
  const block = kind === 'halbach_row';
  return {
    kind,
    magnet: block ? BLOCK : DISC,
    called: block ? '10 × 10 × 10 mm N42 block' : '20 × 5 mm N42 disc',
    ...picked,
    count: { circle: 8, halbach_row: 5 }[kind as 'circle'] ?? 3,
    gap: kind === 'facing_pair' ? '10 mm' : '0 mm',
    pitch: kind === 'halbach_row' ? '10 mm' : '24 mm',
    radius: '40 mm',
    like: false,
    alternating: true,
    plane: kind === 'circle' ? 'xy' : 'xz',
  };
}

const PLANES = [
  { value: 'xz', text: 'the plane through the axis' },
  { value: 'yz', text: 'the plane across it' },
  { value: 'xy', text: 'the level plane' },
];
const LIKE = [
  { value: false, text: 'unlike' },
  { value: true, text: 'like' },
];
const ALTERNATING = [
  { value: true, text: 'alternating' },
  { value: false, text: 'all the same way' },
];

const NUMBERS = [
  'no',
  'one',
  'two',
  'three',
  'four',
  'five',
  'six',
  'seven',
  'eight',
  'nine',
  'ten',
  'eleven',
  'twelve',
];
const inWords = (count: number) => NUMBERS[count] ?? String(count);
const capital = (text: string) => text.charAt(0).toUpperCase() + text.slice(1);
const chosen = <T>(choices: { value: T; text: string }[], value: T) =>
  choices.find((one) => one.value === value)?.text ?? '';

/** The sentence of a set-up. */
export function sentence(setup: Setup): Part[] {
  const { count, gap, pitch, radius, like, alternating, plane } = setup;
  const magnet = (many: boolean): Part => ({ blank: 'magnet', text: `${setup.called}${many ? 's' : ''}` });
  const counted = (start: boolean): Part => ({
    blank: 'count',
    text: start ? capital(inWords(count)) : inWords(count),
  });
  const where: Part = { blank: 'plane', text: chosen(PLANES, plane), choices: PLANES };
  const poles: Part = { blank: 'alternating', text: chosen(ALTERNATING, alternating), choices: ALTERNATING };
  const field = [{ text: ': field in ' }, where, { text: '.' }];
  switch (setup.kind) {
    case 'pile':
      return [
        { text: 'A stack of ' },
        counted(false),
        { text: ' ' },
        magnet(true),
        { text: ', ' },
        { blank: 'gap', text: gap },
        { text: ' between them' },
        ...field,
      ];
    case 'facing_pair':
      return [
        { text: 'Two ' },
        magnet(true),
        { text: ' facing, ' },
        { blank: 'like', text: chosen(LIKE, like), choices: LIKE },
        { text: ' poles, ' },
        { blank: 'gap', text: gap },
        { text: ' apart' },
        ...field,
      ];
    case 'grid':
      return [
        { text: 'A square of ' },
        counted(false),
        { text: ' by ' },
        counted(false),
        { text: ' ' },
        magnet(true),
        { text: ', ' },
        { blank: 'pitch', text: pitch },
        { text: ' from middle to middle, poles ' },
        poles,
        ...field,
      ];
    case 'circle':
      return [
        counted(true),
        { text: ' ' },
        magnet(true),
        { text: ' on a circle of ' },
        { blank: 'radius', text: radius },
        { text: ' radius, poles ' },
        poles,
        ...field,
      ];
    case 'halbach_row':
      return [
        { text: 'A Halbach row of ' },
        counted(false),
        { text: ' ' },
        magnet(true),
        { text: ', ' },
        { blank: 'pitch', text: pitch },
        { text: ' from middle to middle' },
        ...field,
      ];
    default:
      return [{ text: 'One ' }, magnet(false), ...field];
  }
}

/** The bodies of a set-up, as the interface takes them. */
export function bodies(setup: Setup): Json[] {
  const of = { named: setup.magnet as Json };
  const { kind: arrangement, count, gap: gap_mm, pitch, radius: radius_mm, alternating, like: like_poles } = setup;
  switch (arrangement) {
    case 'pile':
      return [{ arrangement, of, count, gap_mm }];
    case 'facing_pair':
      return [{ arrangement, of, gap_mm, like_poles }];
    case 'grid':
      return [{ arrangement, of, counts: [count, count], pitch_mm: [pitch, pitch], alternating }];
    case 'circle':
      return [{ arrangement, of, count, radius_mm, alternating }];
    case 'halbach_row':
      return [{ arrangement, of, count, pitch_mm: pitch }];
    default:
      return [of];
  }
}

/** The request for the picture of a set-up. */
export function request(setup: Setup): { [key: string]: Json } {
  return { bodies: bodies(setup), plane: setup.plane };
}

/** The point in space at a place in a plane, mm. */
export function pointIn(plane: Setup['plane'], across: number, up: number): [number, number, number] {
  if (plane === 'xz') return [across, 0, up];
  return plane === 'yz' ? [0, across, up] : [across, up, 0];
}

/** The set-up of a link: one that this place made, or magnets that an answer names. Null where it is neither. */
export function setupFrom(link: string | undefined): Setup | null {
  try {
    const value = link ? (JSON.parse(link) as Partial<Setup> & { magnets?: NamedMagnet[] }) : null;
    const named = value?.magnets?.[0];
    if (named) {
      const count = named.count ?? 1;
      const kind = named.pair ? 'facing_pair' : count > 1 ? 'pile' : 'one';
      const one: NamedMagnet = { ...named, count: 1, pair: false };
      return { ...usual(kind, { magnet: one, called: called(named) }), count };
    }
    const known = value && KINDS.some(({ kind }) => kind === value.kind);
    return known ? { ...usual(value.kind as Kind), ...value } : null;
  } catch {
    return null; // A cut link: begin afresh.
  }
}
