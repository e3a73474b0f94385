// Invented ladder, shelf, items, desk and import for working on the page without the program.
import { picture, reader } from './answers.mjs';

const t = (text) => ({ text });
const b = (text) => ({ text, strong: true });

export const LADDER_START = {
  body: { shape: 'disc', diameter: '12 mm' },
  grade: 'N42',
  measure: { what: 'face', probe_depth: '0.7 mm' },
  by: 'thickness',
  item: null,
  pieces: 200,
  worth: 0.5,
};

const FIELDS = [101, 188, 261, 320, 366, 402, 453, 484, 504, 524, 541];
const SIZES = [1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 20];
const PRICES = [0.11, 0.16, 0.21, 0.26, 0.32, 0.38, 0.5, 0.63, 0.77, 1.02, 1.5];

const choice = (path, text, label, value, options) => ({
  path,
  text,
  label,
  kind: 'choice',
  value,
  options,
  optional: false,
  assumed: false,
  help: label,
  example: text,
});

export function ladder(request, units) {
  const r = reader(units);
  const knee = 5;
  const gain = (at) => (at ? Math.round((FIELDS[at] / FIELDS[at - 1] - 1) * 100) : null);
  const measures = [
    { value: { what: 'face', probe_depth: '0.7 mm' }, text: 'at the face, probe 0.7 mm deep' },
    { value: { what: 'face', probe_depth: null }, text: 'at the true face' },
    { value: { what: 'field', distance: '10 mm' }, text: '10 mm from the face' },
    { value: { what: 'pull', gap: '0.5 mm' }, text: 'as pull across 0.5 mm' },
  ];
  const measured =
    measures.find(({ value }) => JSON.stringify(value) === JSON.stringify(request.measure)) ?? measures[0];
  const bys = ['thickness', 'count', 'free'].map((value) => ({
    value,
    text: { thickness: 'thickness', count: 'pieces in a stack', free: 'any thickness' }[value],
  }));
  return {
    request,
    sentence: [
      { text: 'What does the next step buy for ' },
      {
        blank: {
          ...choice('/body/diameter', '12 mm', 'diameter', request.body.diameter, null),
          kind: 'length',
          text: request.body.diameter,
          help: 'across the face',
          example: '12 mm',
        },
      },
      { text: ' discs of ' },
      {
        blank: choice(
          '/grade',
          request.grade,
          'grade',
          request.grade,
          ['N35', 'N42', 'N52', 'C5 ferrite'].map((value) => ({ value, text: value })),
        ),
      },
      { text: ', measured ' },
      { blank: choice('/measure', measured.text, 'where it is measured', measured.value, measures) },
      { text: ', by ' },
      {
        blank: choice(
          '/by',
          bys.find(({ value }) => value === request.by)?.text ?? '',
          'what grows from rung to rung',
          request.by,
          bys,
        ),
      },
      { text: ', at ' },
      { blank: { ...choice('/pieces', String(request.pieces), 'pieces', request.pieces, null), kind: 'count' } },
      { text: ' pieces?' },
    ],
    lead: [
      t('Up to '),
      b('6 mm'),
      t(', half the diameter, every step pays. Doubling 2 mm to 4 mm brings '),
      b('71 %'),
      t(' more; doubling 10 mm to 20 mm brings '),
      b('12 %'),
      t(', for 2.4 times the money.'),
    ],
    y: { label: 'reading', unit: r.fieldUnit },
    price: { label: `price each at ${request.pieces}`, unit: '€' },
    rungs: SIZES.map((size, at) => ({
      label: r.length(size).text,
      detail: `14-${String(at + 1).padStart(2, '0')}`,
      code: `14-${String(at + 1).padStart(2, '0')}`,
      value: r.field(FIELDS[at]),
      low: r.field(FIELDS[at] * 0.95),
      high: r.field(FIELDS[at] * 1.04),
      gain: at ? `+${gain(at)} %` : null,
      total_gain: at ? `×${(FIELDS[at] / FIELDS[0]).toFixed(1)}` : null,
      mass: r.mass(0.848 * size),
      mass_multiple: at ? `×${size}` : null,
      price: PRICES[at],
      price_text: `€ ${PRICES[at].toFixed(2)}`,
      cost_multiple: at ? `×${(PRICES[at] / PRICES[0]).toFixed(1)}` : null,
      gain_per_money: at ? (gain(at) / ((PRICES[at] / PRICES[at - 1] - 1) * 100)).toFixed(2) : null,
      tier: at < knee ? 'good' : at === knee ? 'knee' : 'poor',
    })),
    knee: [t('The knee: past '), b('6 mm'), t(', 12 % more field costs 32 % more money.')],
    ceiling: {
      value: 566 * r.mt,
      text: `no 12 mm disc of this grade can read more than ${r.field(566).text}, however long`,
    },
    solid_against_stack: [
      {
        height: r.length(6).text,
        solid: r.field(402),
        solid_code: '14-06',
        stack: r.field(386),
        stack_text: '3 × 2 mm from 14-02',
        loss: '−4 %',
        solid_price: '€ 0.38',
        stack_price: '€ 0.48',
      },
      {
        height: r.length(10).text,
        solid: r.field(484),
        solid_code: '14-08',
        stack: r.field(461),
        stack_text: '5 × 2 mm from 14-02',
        loss: '−5 %',
        solid_price: '€ 0.63',
        stack_price: '€ 0.80',
      },
    ],
  };
}

const GRADES = ['N35', 'N40', 'N42', 'N52', 'Y30'];
const ITEMS = Array.from({ length: 642 }, (_, at) => {
  const shape = ['disc', 'ring', 'block', 'sphere'][at % 11 === 0 ? 3 : at % 7 === 0 ? 1 : at % 3 === 0 ? 2 : 0];
  const width = 4 + ((at * 7) % 40);
  const height = 1 + ((at * 3) % 10);
  const size = {
    disc: `${width} × ${height} mm`,
    ring: `${width} / ${Math.round(width / 3)} × ${height} mm`,
    block: `${width} × ${Math.ceil(width / 2)} × ${height} mm`,
    sphere: `${width} mm`,
  }[shape];
  const grade = GRADES[at % 5];
  return {
    code: `${String(1 + Math.floor(at / 20)).padStart(2, '0')}-${String(1 + (at % 20)).padStart(2, '0')}`,
    shape,
    size,
    grade,
    width,
    height,
    price: 0.05 + width * width * height * 0.0009,
    stock: at % 13 === 0 ? 0 : at % 17 === 0 ? null : (at * 37) % 3000,
  };
});

export function shelf(params) {
  const search = (params.get('search') ?? '').toLowerCase();
  const shape = params.get('shape');
  const found = ITEMS.filter(
    (item) =>
      (!shape || item.shape === shape) &&
      `${item.code} ${item.shape} ${item.size} ${item.grade}`.toLowerCase().includes(search),
  );
  const by = { price: (item) => item.price, size: (item) => item.width, stock: (item) => -(item.stock ?? -1) }[
    params.get('sort')
  ];
  if (by) found.sort((one, other) => by(one) - by(other));
  const offset = Number(params.get('offset') ?? 0);
  const r = reader(params.get('units'));
  return {
    revision: 12,
    total: found.length,
    items: found.slice(offset, offset + Number(params.get('limit') ?? 50)).map((item) => ({
      code: item.code,
      title: `one ${item.shape}, ${item.size}, ${item.grade}`,
      shape: item.shape,
      size: item.size,
      grade: item.grade,
      coating: item.grade === 'Y30' ? null : 'Ni-Cu-Ni',
      stock: item.stock === null ? null : item.stock.toLocaleString('en'),
      price_from: `€ ${item.price.toFixed(2)}`,
      price_least: `€ ${(item.price * 0.55).toFixed(2)}`,
      face: r.field(120 + ((item.height * 61) % 400)),
    })),
  };
}

export function item(code, units) {
  const it = ITEMS.find((one) => one.code === code);
  if (!it) return null;
  const r = reader(units);
  const xs = Array.from({ length: 40 }, (_, at) => (at / 39) ** 1.5 * 30);
  const field = (x) => 380 / (1 + x / 6) ** 2.6;
  const pull = (x) => 42 / (1 + x / 1.6) ** 1.5;
  const chart = (title, unit, label, scale, f, out) => ({
    title,
    x: {
      label: label === 'pull' ? 'gap' : 'distance',
      unit: r.lengthUnit,
      values: xs.map((x) => x * r.mm * (label === 'pull' ? 0.2 : 1)),
    },
    y: { label, unit },
    mid: xs.map((x) => f(label === 'pull' ? x * 0.2 : x) * scale),
    low: xs.map((x) => f(label === 'pull' ? x * 0.2 : x) * scale * 0.93),
    high: xs.map((x) => f(label === 'pull' ? x * 0.2 : x) * scale * 1.06),
    need: null,
    ceiling: null,
    here:
      label === 'pull'
        ? { x: 0.5 * r.mm, text: 'through a coat of paint' }
        : { x: 0.7 * r.mm, text: 'as a probe reads at the face' },
    remark: label === 'pull' ? null : 'a third of the diameter away, half is left',
    read_out: out,
  });
  return {
    code,
    title: `${it.shape}, ${it.size}, ${it.grade}`,
    name: `Show-case magnet ${it.code}`,
    facts: [
      { label: 'size', text: `${it.size}, ±0.1 mm` },
      { label: 'grade', text: `${it.grade}: 1.28 to 1.32 T` },
      { label: 'coating', text: 'nickel-copper-nickel, 12 to 25 µm a side' },
      { label: 'magnetised', text: 'along the thickness' },
      { label: 'stands', text: 'up to 80 °C; its own load line lowers that to 74 °C' },
      { label: 'mass', text: r.mass(6.6).text },
      { label: 'at the face', text: r.field(312).text },
      { label: 'in stock', text: it.stock === null ? 'not listed' : it.stock.toLocaleString('en') },
    ],
    prices: [1, 10, 50, 100, 500, 1000].map((from, at) => ({
      from: from.toLocaleString('en'),
      each: `€ ${(it.price * 0.9 ** at).toFixed(2)}`,
    })),
    charts: [
      chart(
        'Field against distance',
        r.fieldUnit,
        'field',
        r.mt,
        field,
        '{y} at {x} from the face, nineteen in twenty between {low} and {high}',
      ),
      chart(
        'Pull against gap',
        r.forceUnit,
        'pull',
        r.n,
        pull,
        'holds {y} at {x}, nineteen in twenty between {low} and {high}',
      ),
    ],
    picture: {
      ...picture(
        it.shape,
        it.width,
        it.shape === 'sphere' ? it.width : it.height,
        1,
        it.shape === 'ring' ? it.width / 3 : 0,
      ),
      x_range_mm: [-it.width * 1.3, it.width * 1.3],
      z_range_mm: [-it.width * 0.3, it.width * 1.2],
      steel: null,
      layers: [],
    },
    silhouette: {
      shape: it.shape,
      width_mm: it.width,
      height_mm: it.shape === 'sphere' ? it.width : it.height,
      pieces: 1,
      hole_mm: it.shape === 'ring' ? it.width / 3 : 0,
      pair: null,
    },
    cautions: [
      {
        runs: [t('Keep '), b(r.length(80).text), t(' from pacemakers and other implants (0.5 mT).')],
        rule: 'Directive 2013/35/EU, Annex II, B4',
        severity: 'harm',
      },
    ],
    link: null,
    note: 'Slow tray: offer it first.',
    ladder: LADDER_START,
  };
}

export const PREVIEW = {
  rows: 123,
  new: 100,
  changed: 20,
  unchanged: 3,
  bad: 0,
  encoding: 'UTF-8',
  columns: [
    { heading: 'Art.', field: 'code', unit: null, remark: null },
    { heading: 'Ø (mm)', field: 'diameter', unit: 'mm', remark: null },
    { heading: 'Höhe', field: 'thickness', unit: 'mm', remark: 'no unit in the heading: taken as mm' },
    { heading: 'ab 100', field: 'price from 100', unit: '€', remark: null },
    { heading: 'Lagerplatz', field: null, unit: null, remark: 'not used' },
  ],
  sample: [
    {
      line: 2,
      code: '01-01',
      title: 'disc, 5 × 2 mm, N40',
      state: 'changed',
      changes: ['price 0.61 to 0.65', 'stock 40 to 400'],
    },
    { line: 3, code: '01-02', title: 'disc, 6 × 2 mm, N40', state: 'new', changes: [] },
  ],
  problems: [],
  revision: 12,
  may_import: true,
};

export const BAD_PREVIEW = {
  ...PREVIEW,
  bad: 2,
  may_import: false,
  sample: [...PREVIEW.sample, { line: 7, code: '01-06', title: '', state: 'bad', changes: [] }],
  problems: [
    {
      line: 7,
      column: 'thickness',
      value: '-3',
      wrong: 'thickness must be greater than 0',
      right: 'a size such as 3 mm',
    },
    { line: 9, column: 'grade', value: 'N99', wrong: 'unknown grade', right: 'N52, perhaps' },
  ],
};
