// A point of a field picture in words: its place, counted from the faces, and the field there.
import { figure } from './scale';

export interface Place {
  plane: 'xz' | 'yz' | 'xy';
  across: number;
  up: number;
  /** How far the magnets reach from bottom to top, mm. */
  faces: [number, number] | null;
}

const NEAR_MM = 0.05;

/** `3 mm off the axis, 5 mm above the upper face`. */
export function placeInWords({ plane, across, up, faces }: Place, length: (mm: number) => string): string {
  if (plane === 'xy')
    return `${length(Math.abs(across))} ${across < 0 ? 'left' : 'right'} of the middle and ${length(Math.abs(up))} ${up < 0 ? 'down' : 'up'}`;
  const aside = Math.abs(across) < NEAR_MM ? 'on the axis' : `${length(Math.abs(across))} off the axis`;
  if (!faces) return `${aside}, ${length(up)} up`;
  const [low, high] = faces;
  if (up >= high) return `${aside}, ${length(up - high)} above the upper face`;
  if (up <= low) return `${aside}, ${length(low - up)} below the lower face`;
  return `${aside}, ${length(high - up)} below the upper face`;
}

/** `along the axis`, or the share of each direction where it runs aslant. */
export function fieldInWords([x, y, z]: [number, number, number], flux: (tesla: number) => string): string {
  const across = Math.hypot(x, y);
  const whole = Math.hypot(across, z);
  if (whole === 0 || Math.abs(z) > 0.97 * whole) return 'along the axis';
  if (across > 0.97 * whole) return 'across the axis';
  return `${flux(Math.abs(z))} along the axis and ${flux(across)} across it`;
}

export const lengthIn = (inch: boolean) => (mm: number) =>
  `${figure(inch ? mm / 25.4 : mm)}\u00a0${inch ? 'in' : 'mm'}`;
export const fluxIn = (inch: boolean) => (tesla: number) =>
  inch ? `${figure(tesla * 1e4)}\u00a0G` : `${figure(tesla * 1e3)}\u00a0mT`;
