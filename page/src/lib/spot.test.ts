import { expect, it } from 'vitest';
import { fieldInWords, fluxIn, lengthIn, placeInWords, type Place } from './spot';

const said = (part: Partial<Place>) =>
  placeInWords({ plane: 'xz', across: 0, up: 0, faces: [-2.5, 2.5], ...part }, lengthIn(false)).replaceAll(
    '\u00a0',
    ' ',
  );

it('counts distances from the faces', () => {
  expect(said({ up: 12.5 })).toBe('on the axis, 10 mm above the upper face');
  expect(said({ across: -3, up: -4 })).toBe('3 mm off the axis, 1.5 mm below the lower face');
  expect(said({ up: 0 })).toBe('on the axis, 2.5 mm below the upper face');
  expect(said({ plane: 'xy', across: 3, up: -4 })).toBe('3 mm right of the middle and 4 mm down');
});

it('says where the field points', () => {
  const flux = fluxIn(false);
  expect(fieldInWords([0, 0, -0.2], flux)).toBe('along the axis');
  expect(fieldInWords([0.1, 0, 0], flux)).toBe('across the axis');
  expect(fieldInWords([0.3, 0, 0.4], flux).replaceAll('\u00a0', ' ')).toBe(
    '400 mT along the axis and 300 mT across it',
  );
});
