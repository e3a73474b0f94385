import { describe, expect, it } from 'vitest';
import type { Picture, Silhouette } from './interface';
import { place, spanOf } from './glyph';
import { bar, halves, letters, scaleBar, viewOf } from './picture';
import { csv, dotsOf, fileName } from './save';
import { parts } from './shares';
import { commonScale, draw } from './silhouette';
import { bare, capital, ended, glued, inWords, money, times, whole } from './text';

const disc: Silhouette = { shape: 'disc', width_mm: 15, height_mm: 5, pieces: 1, hole_mm: 0, pair: null, part: null };

describe('silhouettes', () => {
  it('share one scale in which each fits', () => {
    const tall = { ...disc, width_mm: 4, height_mm: 3, pieces: 8 };
    const scale = commonScale([disc, tall], 40, 37);
    for (const one of [disc, tall]) {
      const { pieces } = draw(one, scale, 22, 41);
      expect(Math.min(...pieces.map(({ y }) => y))).toBeGreaterThanOrEqual(41 - 37 - 1e-9);
      expect(Math.max(...pieces.map(({ width }) => width))).toBeLessThanOrEqual(40 + 1e-9);
    }
  });
  it('draw every piece of a pair, with its gap between', () => {
    const { pieces } = draw({ ...disc, pieces: 2, pair: { gap_mm: 5, like_poles: true } }, 1, 22, 41);
    expect(pieces.map(({ y }) => y)).toEqual([36, 31, 21, 16]);
  });
  it('show a steel part, and the magnets lifted by it', () => {
    const outline: [number, number][] = [
      [-5, 0],
      [5, 0],
      [8, 4],
      [-8, 4],
    ];
    const part = { outlines: [outline], lift_mm: 4, width_mm: 16, height_mm: 9 };
    const { pieces, steel } = draw({ ...disc, part }, 1, 22, 41);
    expect(pieces[0]?.y).toBe(32);
    expect(steel).toEqual(['17.00,41.00 27.00,41.00 30.00,37.00 14.00,37.00']);
    expect(commonScale([{ ...disc, part }], 32, 40)).toBe(2);
  });
  it('stand an empty list and a flat piece', () => {
    expect(commonScale([], 40, 40)).toBe(1);
    expect(draw({ ...disc, height_mm: 0 }, 1, 22, 41).pieces[0]?.height).toBe(1);
  });
});

describe('the band glyph', () => {
  it('has room for every band and the need', () => {
    const span = spanOf([{ low: 30, high: 39 }], [29.4]);
    expect(place(29.4, span, 200)).toBeGreaterThan(0);
    expect(place(39, span, 200)).toBeLessThan(200);
    expect(place(1e9, span, 200)).toBe(200);
  });
  it('stands a single value and none', () => {
    expect(place(5, spanOf([{ low: 5, high: 5 }], [5]), 200)).toBe(100);
    expect(place(NaN, spanOf([], []), 200)).toBe(0);
  });
});

describe('the shares of a band', () => {
  it('add up, the largest first, crumbs together', () => {
    const shown = parts([
      { cause: 'plating', text: '±1 %', share: 0.01 },
      { cause: 'grade', text: '±5 %', share: 0.6 },
      { cause: 'paint', text: '±4 %', share: 0.37 },
      { cause: 'heat', text: '±1 %', share: 0.02 },
    ]);
    expect(shown.map(({ cause }) => cause)).toEqual(['grade', 'paint', 'the rest']);
    expect(Math.abs(shown.reduce((sum, { share }) => sum + share, 0) - 1)).toBeLessThanOrEqual(1e-12);
  });
  it('are nothing when there is no width', () => expect(parts([{ cause: 'grade', text: '', share: 0 }])).toEqual([]));
});

describe('the flux picture', () => {
  const picture: Picture = {
    x_range_mm: [-30, 30],
    z_range_mm: [0, 30],
    lines: [],
    magnets: [],
    steel: { z_mm: -0.4, thickness_mm: 30, text: '' },
    layers: [],
    caption: '',
  };
  it('shows thick steel only as far as it is worth', () => {
    expect(viewOf(picture).z[0]).toBeCloseTo(-5.8, 12);
    expect(viewOf({ ...picture, steel: null }).z[0]).toBe(0);
  });
  it.each([
    [60, 10],
    [36, 5],
    [0.9, 0.1],
    [260, 50],
  ])('%d mm wide gets a bar of %d mm', (width, length) => expect(scaleBar(width)).toBeCloseTo(length, 12));
  const frame = { scale: 10, px: (x: number) => 200 + 10 * x, pz: (z: number) => 100 - 10 * z };
  const magnet = {
    shape: 'disc' as const,
    x_mm: [-5, 5] as [number, number],
    z_mm: [0, 4] as [number, number],
    hole_mm: 0,
    north_up: true,
  };
  it('halves a magnet at its middle, north where it says', () => {
    expect(halves(magnet, frame)).toEqual([
      { x: 150, y: 60, width: 100, height: 20, north: true },
      { x: 150, y: 80, width: 100, height: 20, north: false },
    ]);
    expect(halves({ ...magnet, north_up: false }, frame).map(({ north }) => north)).toEqual([false, true]);
  });
  it('cuts the bore of a ring', () => {
    expect(halves({ ...magnet, shape: 'ring', hole_mm: 4 }, frame).map(({ x, width }) => [x, width])).toEqual([
      [150, 30],
      [220, 30],
      [150, 30],
      [220, 30],
    ]);
  });
  it('sets the letters inside, or beside a thin magnet, apart enough to be read', () => {
    expect(letters([magnet], frame).map(({ x, text }) => [x, text])).toEqual([
      [200, 'N'],
      [200, 'S'],
    ]);
    const [upper, lower] = letters([{ ...magnet, z_mm: [0, 0.5] }], frame);
    expect(upper).toMatchObject({ x: 140, text: 'N' });
    expect((lower?.y ?? 0) - (upper?.y ?? 0)).toBeGreaterThanOrEqual(13);
  });
  it('names a stack of thin pieces once, and each side of a pair', () => {
    const thin = (from: number, north_up = true) => ({
      ...magnet,
      north_up,
      z_mm: [from, from + 1] as [number, number],
    });
    expect(letters([thin(0), thin(1.05), thin(2.1)], frame).map(({ text }) => text)).toEqual(['N', 'S']);
    expect(letters([thin(0), thin(6, false)], frame).map(({ text }) => text)).toEqual(['N', 'S', 'S', 'N']);
  });
  it('is ruled in the reader’s units', () => {
    expect(bar(60, true)).toEqual({ length_mm: 0.2 * 25.4, text: '0.2 in' });
    expect(bar(60, false).text).toBe('10 mm');
  });
});

describe('files', () => {
  it('quotes cells and disarms formulas, but not negative numbers', () => {
    expect(csv([['a,b', 'say "x"', '=1+1', '-5', '-x', '@x']])).toBe('"a,b","say ""x""",\'=1+1,-5,\'-x,\'@x\r\n');
  });
  it('makes pictures fine enough for print, and no larger than browsers draw', () => {
    expect(dotsOf('<svg viewBox="0 0 520 280">')).toEqual([1560, 840]);
    expect(dotsOf('<svg viewBox="-50 -25 100 50">')).toEqual([1200, 600]);
    expect(dotsOf('<svg viewBox="0 0 100 9000">')).toEqual([89, 8000]);
    expect(dotsOf('<svg>')).toEqual([0, 0]);
  });
  it('names files after titles', () => {
    expect(fileName('What it holds, 15 × 5 mm?', 'svg')).toBe('what-it-holds-15-x-5-mm.svg');
    expect(fileName('…', 'csv')).toBe('lodewright.csv');
  });
});

describe('words', () => {
  it('drops a unit once', () => expect(bare({ value: 30, unit: 'N', text: '30\u00a0N' })).toBe('30'));
  it('ends a sentence once', () => expect([ended('a'), ended('a.'), ended('')]).toEqual(['a.', 'a.', '']));
  it('sends addresses that are whole', () => {
    expect(whole('/papers/k3', 'http://127.0.0.1:7415/#/ladder?for=%7B%7D')).toBe('http://127.0.0.1:7415/papers/k3');
    expect(whole('https://tray.example/papers/k3', 'http://a/')).toBe('https://tray.example/papers/k3');
  });
  it('keeps numbers with their units', () => expect(glued('0.4 mm of paint')).toBe('0.4\u00a0mm of paint'));
  it.each([
    ['−4 %', '4 % less'],
    ['-4 %', '4 % less'],
    ['+2 %', '2 % more'],
    ['none', 'none'],
  ])('%s is %s', (change, words) => expect(inWords(change)).toBe(words));
});

describe('amounts and counts', () => {
  it('an amount has the decimals of its currency, and more where it is exact to more', () => {
    expect(money('236', 'EUR')).toBe('236.00');
    expect(money('1.1', 'EUR')).toBe('1.10');
    expect(money('0.978', 'EUR')).toBe('0.978');
    // The yen has no smaller unit (ISO 4217).
    expect(money('236', 'JPY')).toBe('236');
  });
  it('one thing is one, and several are several', () => {
    expect(times(1, 'group', 'groups')).toBe('1 group');
    expect(times(0, 'enquiry', 'enquiries')).toBe('0 enquiries');
  });
  it('a line begins with a capital', () => {
    expect(capital('holds 4 kg')).toBe('Holds 4 kg');
    expect(capital('')).toBe('');
  });
});
