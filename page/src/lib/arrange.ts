// What the Field place can set up, and the request for it. Lengths are millimetres here; the place shows them in the reader's units.
import type { Json } from './json';

export type Form = 'disc' | 'ring' | 'block' | 'sphere';
export type Kind = 'one' | 'pile' | 'facing_pair' | 'tower' | 'grid' | 'circle' | 'halbach_row';

export interface Size {
  key: string;
  label: string;
}

/** The sizes of each form. */
export const SIZES: Record<Form, Size[]> = {
  disc: [
    { key: 'diameter', label: 'diameter' },
    { key: 'thickness', label: 'thickness' },
  ],
  ring: [
    { key: 'outer', label: 'outer diameter' },
    { key: 'inner', label: 'inner diameter' },
    { key: 'thickness', label: 'thickness' },
  ],
  block: [
    { key: 'length', label: 'length' },
    { key: 'width', label: 'width' },
    { key: 'thickness', label: 'thickness' },
  ],
  sphere: [{ key: 'diameter', label: 'diameter' }],
};

export interface Setup {
  kind: Kind;
  form: Form;
  sizes: Record<string, number>;
  /** Polarisation, T. */
  strength: number;
  /** Along the axis of the body, or across it. */
  across: boolean;
  count: number;
  rows: number;
  gap: number;
  pitch: number;
  radius: number;
  alternating: boolean;
  like: boolean;
  plane: 'xz' | 'yz' | 'xy';
  map: 'B' | 'H' | 'none';
}

export const KINDS: { kind: Kind; text: string; needs: (keyof Setup)[] }[] = [
  { kind: 'one', text: 'one magnet', needs: [] },
  { kind: 'pile', text: 'a stack', needs: ['count', 'gap'] },
  { kind: 'facing_pair', text: 'two facing each other', needs: ['gap', 'like'] },
  { kind: 'tower', text: 'steps of falling width', needs: ['count', 'gap'] },
  { kind: 'grid', text: 'a grid', needs: ['count', 'rows', 'pitch', 'alternating'] },
  { kind: 'circle', text: 'a circle', needs: ['count', 'radius', 'alternating'] },
  { kind: 'halbach_row', text: 'a Halbach row', needs: ['count', 'pitch'] },
];

/** Something worth seeing of each kind. */
export function usual(kind: Kind): Setup {
  const base: Setup = {
    kind,
    form: 'disc',
    sizes: { diameter: 20, thickness: 5, outer: 20, inner: 10, length: 20, width: 10 },
    strength: 1.3,
    across: false,
    count: 3,
    rows: 3,
    gap: 0,
    pitch: 22,
    radius: 25,
    alternating: true,
    like: false,
    plane: 'xz',
    map: 'B',
  };
  const block = { ...base.sizes, length: 10, width: 10, thickness: 10 };
  if (kind === 'facing_pair') return { ...base, gap: 10 };
  if (kind === 'circle') return { ...base, count: 8, sizes: { ...base.sizes, diameter: 12 }, plane: 'xy' };
  if (kind === 'halbach_row') return { ...base, form: 'block', sizes: block, count: 5, pitch: 10 };
  return base;
}

function body(setup: Setup, shrink = 1): { [key: string]: Json } {
  const size = (key: string) => setup.sizes[key] ?? 0;
  const polarisation_T = setup.across ? [setup.strength, 0, 0] : [0, 0, setup.strength];
  switch (setup.form) {
    case 'disc':
      return { shape: 'disc', diameter_mm: size('diameter') * shrink, thickness_mm: size('thickness'), polarisation_T };
    case 'ring':
      return {
        shape: 'ring',
        outer_diameter_mm: size('outer') * shrink,
        inner_diameter_mm: size('inner'),
        thickness_mm: size('thickness'),
        polarisation_T,
      };
    case 'block':
      return {
        shape: 'block',
        size_mm: [size('length') * shrink, size('width') * shrink, size('thickness')],
        polarisation_T,
      };
    case 'sphere':
      return { shape: 'sphere', diameter_mm: size('diameter') * shrink, polarisation_T };
  }
}

/** The bodies of a setup, as the interface takes them. */
export function bodies(setup: Setup): Json[] {
  const of = body(setup);
  const { kind: arrangement, count, rows, gap: gap_mm, pitch, radius: radius_mm, alternating, like } = setup;
  switch (arrangement) {
    case 'one':
      return [of];
    case 'pile':
      return [{ arrangement, of, count, gap_mm }];
    case 'facing_pair':
      return [{ arrangement, of, gap_mm, like_poles: like }];
    case 'tower': {
      // Each step is narrower than the one below by the same share of the first.
      const steps = Math.max(1, Math.min(20, Math.round(count)));
      return [{ arrangement, of: Array.from({ length: steps }, (_, k) => body(setup, 1 - (0.6 * k) / steps)), gap_mm }];
    }
    case 'grid':
      return [{ arrangement, of, counts: [count, rows], pitch_mm: [pitch, pitch], alternating }];
    case 'circle':
      return [{ arrangement, of, count, radius_mm, alternating }];
    case 'halbach_row':
      return [{ arrangement, of, count, pitch_mm: pitch }];
  }
}

/** The request for the picture of a setup. */
export function request(setup: Setup): { [key: string]: Json } {
  return { bodies: bodies(setup), plane: setup.plane, map: setup.map };
}

/** The point in space at a place in a plane, mm. */
export function pointIn(plane: Setup['plane'], across: number, up: number): [number, number, number] {
  if (plane === 'xz') return [across, 0, up];
  return plane === 'yz' ? [0, across, up] : [across, up, 0];
}
