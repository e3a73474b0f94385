// Invented answers for working on the page without the program. The figures are plausible, not computed.
import { readFileSync } from 'node:fs';

const lines = JSON.parse(readFileSync(new URL('../fixtures/lines.json', import.meta.url)));
const t = (text) => ({ text });
const b = (text) => ({ text, strong: true });

/** Shown numbers for one reader. */
export function reader(units) {
  const inch = units === 'inch';
  const of = (value, unit, digits = 3) => {
    const shown = Number(value.toPrecision(digits));
    return { value: shown, unit, text: `${shown}\u00a0${unit}`.replace('-', '−') };
  };
  return {
    inch,
    force: (n) => (inch ? of(n / 4.448, 'lbf') : of(n, 'N')),
    field: (mt) => (inch ? of(mt * 10, 'G') : of(mt, 'mT')),
    mass: (g) => (inch ? of(g / 28.35, 'oz') : of(g, 'g')),
    length: (mm) => (inch ? of(mm / 25.4, 'in') : of(mm, 'mm', 4)),
    mm: inch ? 1 / 25.4 : 1,
    n: inch ? 1 / 4.448 : 1,
    mt: inch ? 10 : 1,
    lengthUnit: inch ? 'in' : 'mm',
    forceUnit: inch ? 'lbf' : 'N',
    fieldUnit: inch ? 'G' : 'mT',
  };
}

const blank = (path, text, label, kind, value, more = {}) => ({
  path,
  text,
  label,
  kind,
  value,
  options: null,
  optional: false,
  assumed: false,
  help: '',
  example: String(text),
  ...more,
});

const DIRECTIONS = [
  { value: 'straight_off', text: 'straight off' },
  { value: 'hanging_below', text: 'hanging below' },
  { value: 'sideways', text: 'sideways along' },
];
const SURROUNDINGS = [
  { value: 'dry', text: 'indoors, dry' },
  { value: 'damp', text: 'in the damp' },
  { value: 'outdoors', text: 'outdoors' },
  { value: 'food', text: 'in contact with food' },
];
const SHAPES = ['disc', 'ring', 'block', 'sphere'].map((value) => ({ value, text: value }));
const textOf = (options, value) => options.find((one) => one.value === value)?.text ?? String(value);
const layersText = (layers) =>
  layers.map(({ material, thickness }) => `${thickness} of ${material}`).join(' and ') || 'nothing';

export const START = {
  need: {
    verb: 'hold',
    load: '2 kg',
    direction: 'hanging_below',
    steel: { material: 'mild steel', thickness: '3 mm' },
    layers: [{ material: 'paint', thickness: '0.4 mm' }],
  },
  conditions: { warmest: '60 °C', surroundings: 'dry' },
  limits: { widest: '25 mm' },
  pieces: 200,
};

/** Blanks in the sentence, and those that may be added. */
export function sentence(question) {
  const { need, conditions = {}, limits = {}, pieces } = question;
  const said = [];
  const more = [];
  const text = (words) => said.push({ text: words });
  const fill = (one) => said.push({ blank: one });
  if (need.verb === 'hold') {
    text('Hold ');
    fill(
      blank('/need/load', need.load, 'load', 'load', need.load, {
        help: 'what must be held: a mass or a force',
        example: '2 kg',
      }),
    );
    text(' ');
    fill(
      blank('/need/direction', textOf(DIRECTIONS, need.direction), 'direction', 'choice', need.direction, {
        options: DIRECTIONS,
        help: 'which way the load pulls on the magnet',
      }),
    );
    text(' ');
    const { material, thickness } = need.steel;
    fill(
      blank(
        '/need/steel',
        thickness ? `${thickness} of ${material}` : `thick ${material}`,
        'steel',
        'steel',
        need.steel,
        { help: 'what the magnet sticks to; thick where more does not help' },
      ),
    );
    text(' through ');
    fill(
      blank('/need/layers', layersText(need.layers), 'what lies between', 'layers', need.layers, {
        help: 'what lies between magnet and steel',
      }),
    );
  } else {
    text('Reach ');
    fill(
      blank('/need/field', need.field, 'field', 'field', need.field, {
        help: 'the least flux density there',
        example: '50 mT',
      }),
    );
    text(' at ');
    fill(
      blank('/need/distance', need.distance, 'distance', 'length', need.distance, {
        help: 'from the outer face, along the axis',
        example: '10 mm',
      }),
    );
  }
  const clause = (path, value, words, label, kind, help, example, options) => {
    const shown = options ? textOf(options, value) : String(value);
    const one = blank(path, value == null ? '' : shown, label, kind, value ?? null, {
      optional: true,
      help,
      example,
      options: options ?? null,
    });
    if (value == null) more.push(one);
    else {
      text(words);
      fill(one);
    }
  };
  clause(
    '/conditions/warmest',
    conditions.warmest,
    ', up to ',
    'highest temperature',
    'temperature',
    'the warmest the magnet gets',
    '60 °C',
  );
  clause(
    '/conditions/surroundings',
    conditions.surroundings,
    ', ',
    'surroundings',
    'choice',
    'where the magnet lives',
    'outdoors',
    SURROUNDINGS,
  );
  clause(
    '/limits/widest',
    limits.widest,
    ', no wider than ',
    'greatest width',
    'length',
    'largest size across the face',
    '25 mm',
  );
  clause(
    '/limits/tallest',
    limits.tallest,
    ', no higher than ',
    'greatest height',
    'length',
    'along the magnetisation, stack included',
    '10 mm',
  );
  clause(
    '/limits/hole',
    limits.hole,
    ', with a hole of ',
    'hole',
    'length',
    'a hole of at least this diameter',
    '4 mm',
  );
  clause('/limits/mass', limits.mass, ', no heavier than ', 'greatest mass', 'mass', 'of the magnet itself', '50 g');
  clause(
    '/limits/budget_each',
    limits.budget_each,
    ', for at most € ',
    'budget for each',
    'money',
    'the most that one may cost, in the shop’s currency',
    '1',
  );
  clause(
    '/limits/stack',
    limits.stack,
    ', stacked at most ',
    'pieces in a stack',
    'count',
    'the most pieces put on top of each other; 1 is not stacked',
    '3',
  );
  clause(
    '/need/safety_factor',
    need.safety_factor,
    ', with a safety factor of ',
    'safety factor',
    'factor',
    'the load is multiplied by this',
    '2',
  );
  more.find(({ path }) => path === '/need/safety_factor') &&
    Object.assign(
      more.find(({ path }) => path === '/need/safety_factor'),
      { assumed: true },
    );
  const shapes = limits.shapes ?? [];
  const shapesBlank = blank('/limits/shapes', shapes.join(' or '), 'shapes', 'choices', shapes, {
    options: SHAPES,
    help: 'which shapes will do; none chosen is all',
  });
  if (shapes.length) {
    text(', as a ');
    fill(shapesBlank);
  } else more.push(shapesBlank);
  const grades = limits.grades ?? [];
  const gradesBlank = blank('/limits/grades', grades.join(', '), 'grades', 'words', grades, {
    help: 'grades or families that will do; none named is all',
    example: 'N42',
  });
  if (grades.length) {
    text(', in ');
    fill(gradesBlank);
  } else more.push(gradesBlank);
  const stock = blank('/limits/in_stock', 'in stock', 'in stock', 'switch', limits.in_stock ?? false, {
    help: 'only what the shelf can deliver now',
  });
  if (limits.in_stock) {
    text(', ');
    fill(stock);
  } else more.push(stock);
  text('. ');
  fill(
    blank('/pieces', String(pieces), 'pieces', 'count', pieces, {
      help: 'how many are wanted; prices are taken at this number',
      example: '200',
    }),
  );
  text(pieces === 1 ? ' piece.' : ' pieces.');
  return { sentence: said, more };
}

const NUMBER = /^\s*(-?[\d.,]+)\s*(\S*)\s*$/;
const UNITS = {
  '/need/load': ['kg', 'g', 'N', 'lb', 'lbf', 'oz'],
  '/need/field': ['mT', 'T', 'G'],
  '/need/distance': ['mm', 'cm', 'in'],
  '/conditions/warmest': ['°C', 'C', '°F', 'F'],
  '/limits/widest': ['mm', 'cm', 'in'],
  '/limits/tallest': ['mm', 'cm', 'in'],
  '/limits/hole': ['mm', 'cm', 'in'],
  '/limits/mass': ['g', 'kg', 'oz', 'lb'],
};

/** What is wrong with one value, as a problem body; `null` when it is fine. */
export function judge(path, text) {
  const units = UNITS[path];
  if (!units || text == null) return null;
  const read = NUMBER.exec(text);
  const problem = (detail, span, hint = null) => ({
    title: 'question not understood',
    status: 422,
    detail,
    field: path,
    span,
    hint,
  });
  if (!read) return problem(`expected a number and a unit, got \`${text}\``, [0, text.length], `such as 2 ${units[0]}`);
  const [, number, unit] = read;
  const start = text.lastIndexOf(unit);
  if (unit === '')
    return problem(
      `${number} has no unit`,
      [0, text.length],
      `write ${number} ${units[0]}; ${units.join(', ')} will do`,
    );
  if (!units.includes(unit))
    return problem(`\`${unit}\` is no unit for this`, [start, start + unit.length], `${units.join(', ')} will do`);
  if (!(Number(number.replace(',', '.')) > 0) && path !== '/conditions/warmest')
    return problem(`must be greater than 0, got ${text}`, [0, number.length], null);
  return null;
}

const SHARES = [
  { cause: 'grade', text: '±5 %', share: 0.56 },
  { cause: 'paint', text: '±4 %', share: 0.31 },
  { cause: 'thickness', text: '±2 %', share: 0.09 },
  { cause: 'plating', text: '±1 %', share: 0.03 },
  { cause: 'temperature', text: '±0.4 %', share: 0.01 },
];

const CAUTIONS = (r) => [
  {
    runs: [
      t('Two of these meet with about '),
      b(r.force(53).text),
      t(': skin is pinched, edges chip. Eye protection; one at a time.'),
    ],
    rule: 'common practice, no source',
    severity: 'harm',
  },
  {
    runs: [t('Keep '), b(r.length(80).text), t(' from pacemakers and other implants (0.5 mT).')],
    rule: 'Directive 2013/35/EU, Annex II, B4',
    severity: 'harm',
  },
  {
    runs: [t('Not for toys: fits the small-parts cylinder and exceeds the flux index.')],
    rule: '16 CFR 1262',
    severity: 'harm',
  },
  {
    runs: [t('Above '), b('80 °C'), t(' this grade loses strength for good.')],
    rule: 'grade data',
    severity: 'damage',
  },
  { runs: [t('Overhead loads: local codes and a qualified person decide.')], rule: null, severity: 'note' },
];

const BUILDS = [
  [
    '14-07',
    'one disc, 15 × 5 mm, N40',
    'cheapest that is sure',
    'disc',
    15,
    5,
    1,
    0,
    33.8,
    29.6,
    38.9,
    0.61,
    6.6,
    '1,240 in stock',
    true,
  ],
  [
    '09-03',
    'two discs, 15 × 3 mm, N42, stacked',
    'uses up a slow tray; plating costs 3 % against one solid piece',
    'disc',
    15,
    3,
    2,
    0,
    36,
    31.5,
    41.2,
    0.74,
    8,
    '380 in stock',
    false,
  ],
  [
    '21-02',
    'one disc, 20 × 5 mm, N35',
    'most margin under 25 mm',
    'disc',
    20,
    5,
    1,
    0,
    42.3,
    37,
    48.4,
    0.83,
    11.8,
    '96 in stock: not enough',
    true,
  ],
  [
    '30-11',
    'one ring, 22 / 6 × 5 mm, N38',
    'has a hole for a screw',
    'ring',
    22,
    5,
    1,
    6,
    39.5,
    34.1,
    45.2,
    0.97,
    13.2,
    'stock not listed',
    false,
  ],
  [
    '14-11',
    'one disc, 16 × 4 mm, N40',
    'cheaper, but only in the middle of its band',
    'disc',
    16,
    4,
    1,
    0,
    29.9,
    26,
    34.2,
    0.52,
    6,
    '2,000 in stock',
    true,
  ],
];

function candidates(r, pieces, need) {
  return BUILDS.map(
    (
      [code, title, remark, shape, width, height, stack, hole, value, low, high, price, mass, stock, unbeaten],
      index,
    ) => ({
      index,
      code,
      title,
      remark,
      verdict: low >= need ? 'sure' : 'middle',
      silhouette: { shape, width_mm: width, height_mm: height, pieces: stack, hole_mm: hole, pair: null },
      value: r.force(value),
      low: r.force(low),
      high: r.force(high),
      margin: `${low >= need ? '+' : '−'}${Math.abs(Math.round((low / need - 1) * 100))} %`,
      chance: `${low >= need ? 99 : 57} % of pieces`,
      cost_each: `€ ${price.toFixed(2)}`,
      cost_total: `€ ${(price * pieces).toFixed(2)}`,
      cost_note: `for ${pieces}`,
      mass: r.mass(mass),
      stock,
      unbeaten,
      because: [
        [t('the paint takes '), b('35 %'), t(' of what it would hold on bare steel')],
        [t('one piece fewer would hold only '), b(r.force(19).text)],
      ],
      shares: SHARES,
      cautions: [
        ...CAUTIONS(r).slice(0, 2),
        {
          runs: [t('Three of these in the hand will find each other.')],
          rule: 'common practice, no source',
          severity: 'note',
        },
      ].slice(index ? 1 : 0),
    }),
  ).filter(({ index }) => BUILDS[index][8] >= need);
}

/** An answer in the shape of the contract. */
export function answer(question, units, { id, words = null, unknown = [] }) {
  const r = reader(units);
  const load = Number.parseFloat(String(question.need.load ?? '2').replace(',', '.')) || 2;
  const factor = question.need.safety_factor ?? 1.5;
  const need = load * 9.80665 * factor;
  const found = candidates(r, question.pieces, need).filter(
    ({ silhouette }) => silhouette.width_mm <= Number.parseFloat(question.limits?.widest ?? '1000'),
  );
  const said = wordsOf(question);
  const first = found[0];
  return {
    id,
    asked_at: '2026-11-25T10:00:00Z',
    revision: 12,
    version: '0.1.0',
    stale: false,
    question,
    words: said,
    understood: words === null ? null : { text: words, parts: parts(words, unknown) },
    verb: question.need.verb,
    ...sentence(question),
    assumed: question.need.safety_factor == null ? [[t('safety factor '), b('1.5'), t(' assumed')]] : [],
    lead: first
      ? [
          t('One disc of '),
          b('15 × 5 mm, N40'),
          t(', from tray 14-07, holds '),
          b(first.value.text),
          t(
            ` there; nineteen in twenty pieces hold between ${first.low.text} and ${first.high.text}. You need ${r.force(need).text}: ${question.need.load ?? ''} with a factor of ${factor}. It costs `,
          ),
          b(first.cost_each),
          t(` each for ${question.pieces}.`),
        ]
      : [t('Nothing on the shelf holds that much within these limits.')],
    because: first
      ? [
          [
            t('the paint takes '),
            b('35 %'),
            t(' of what it would hold on bare steel, and 3 mm of steel carries all its flux'),
          ],
          [
            t('at 60 °C it keeps '),
            b('95 %'),
            t(' of its strength, and its working point stays clear of the knee up to 74 °C'),
          ],
        ]
      : [],
    widens: first ? [t('the grade (±5 %), the paint (±4 %), the thickness (±2 %)')] : [],
    need: {
      at_least: r.force(need),
      ceiling: null,
      text: `You need ${r.force(need).text}: ${question.need.load ?? ''} with a factor of ${factor}`,
    },
    candidates: found,
    near_misses: [
      { code: '12-06', title: '12 × 6 mm N40', runs: [t('holds 28 N: '), b('5 % short')] },
      {
        code: '25-03',
        title: '25 × 3 mm N35',
        runs: [t('holds 31 N, but is 26 mm over the plating: '), b('1 mm too wide')],
      },
      { code: '41-09', title: '15 × 5 mm ferrite', runs: [t('holds 3 N: '), b('a tenth')] },
    ],
    shortfall: first
      ? null
      : {
          lead: [t('The best within the limits surely reaches '), b('61 %'), t(' of the need.')],
          would_do: [
            [t('four of '), b('20 × 5 mm, N35'), t(', sharing the load')],
            [t('scraping the paint off: then '), b('20 × 5 mm, N35'), t(' holds 58 N')],
            [t('a width of up to '), b(r.length(32).text)],
          ],
          ceiling: [
            t('No magnet up to 25 mm across holds more than 160 N through this paint, however strong and tall.'),
          ],
        },
    cautions: first ? CAUTIONS(r) : [],
    searched: '642 items, 3,120 builds in 12 ms',
  };
}

function parts(words, unknown) {
  const found = [];
  const one = /\S+/g;
  for (let match = one.exec(words); match; match = one.exec(words)) {
    const word = match[0].replace(/,$/, '');
    found.push({
      start: match.index,
      end: match.index + word.length,
      meaning: unknown.includes(word) ? null : 'part of the question',
    });
  }
  return found;
}

export function wordsOf(question) {
  return sentence(question)
    .sentence.map((one) => one.text ?? one.blank.text)
    .join('')
    .replace(/^H/, 'h')
    .replace(/^R/, 'r')
    .replace(/\. (?=\d)/, ', ')
    .replace(/\.$/, '');
}

/** Chart and picture of one candidate. */
export function detail(index, units) {
  const r = reader(units);
  const build = BUILDS[index] ?? BUILDS[0];
  const [, , , shape, width, height, stack, hole, value] = build;
  const gaps = Array.from({ length: 41 }, (_, at) => (at / 40) ** 1.6 * 4);
  const at = (gap) => (value * 1.45) / (1 + gap / 1.35) ** 1.4;
  const need = 29.4;
  return {
    chart: {
      title: 'What it holds against the gap',
      x: { label: 'gap', unit: r.lengthUnit, values: gaps.map((gap) => gap * r.mm) },
      y: { label: 'pull', unit: r.forceUnit },
      mid: gaps.map((gap) => at(gap) * r.n),
      low: gaps.map((gap) => at(gap) * 0.87 * r.n),
      high: gaps.map((gap) => at(gap) * 1.15 * r.n),
      need: { y: need * r.n, text: `you need ${r.force(need).text}` },
      ceiling: null,
      here: { x: 0.4 * r.mm, text: 'through your paint' },
      remark: 'each further millimetre costs about half',
      read_out: 'holds {y} at {x}, nineteen in twenty between {low} and {high}',
    },
    picture: picture(shape, width, height, stack, hole),
  };
}

export function picture(shape, width, height, stack = 1, hole = 0) {
  const magnets = Array.from({ length: stack }, (_, at) => ({
    shape,
    x_mm: [-width / 2, width / 2],
    z_mm: [at * height, (at + 1) * height],
    hole_mm: hole,
    north_up: true,
  }));
  return {
    x_range_mm: [-18, 18],
    z_range_mm: [-1.5, 15.6],
    lines: lines.map((line) => line.map(([x, z]) => [x * (width / 15), z])),
    magnets,
    steel: { z_mm: -0.4, thickness_mm: 3, text: 'mild steel, 3 mm' },
    layers: [{ z_mm: [-0.4, 0], text: 'paint' }],
    caption: 'Computed lines of flux, to scale; equal flux between lines',
  };
}
