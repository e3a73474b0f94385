// The JSON that server and page exchange, version 1. Every `text` is already in the units the page asked for.

/** A number in the shown unit, and the same as words. */
export interface Shown {
  value: number;
  unit: string;
  text: string;
}

/** A piece of running text. */
export interface Run {
  text: string;
  strong?: boolean;
  em?: boolean;
}
export type Runs = Run[];

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };

export interface Option {
  value: Json;
  text: string;
}

export type BlankKind =
  | 'load'
  | 'length'
  | 'field'
  | 'force'
  | 'mass'
  | 'temperature'
  | 'money'
  | 'count'
  | 'factor'
  | 'choice'
  | 'choices'
  | 'layers'
  | 'steel'
  | 'switch'
  | 'words';

/** A place in the sentence that can be filled. `path` is a JSON pointer into the question. */
export interface Blank {
  path: string;
  text: string;
  label: string;
  kind: BlankKind;
  options: Option[] | null;
  value: Json;
  optional: boolean;
  assumed: boolean;
  help: string;
  example: string;
}

export type Segment = { text: string } | { blank: Blank };

export interface Caution {
  runs: Runs;
  rule: string | null;
  severity: 'harm' | 'damage' | 'note';
}

export interface Silhouette {
  shape: 'disc' | 'ring' | 'block' | 'sphere';
  width_mm: number;
  height_mm: number;
  pieces: number;
  hole_mm: number;
  pair: { gap_mm: number; like_poles: boolean } | null;
}

export interface Share {
  cause: string;
  text: string;
  share: number;
}

/** What a cause does to the value by itself: the value at its low and at its high end, in the value's unit. */
export interface Swing {
  cause: string;
  low: number;
  high: number;
}

export interface Candidate {
  index: number;
  code: string;
  title: string;
  remark: string;
  verdict: 'sure' | 'middle';
  silhouette: Silhouette;
  value: Shown;
  low: Shown;
  high: Shown;
  /** The band in words: `39.8 to 49.4 N`. */
  range: string;
  margin: string;
  chance: string;
  cost_each: string | null;
  cost_total: string | null;
  cost_note: string | null;
  mass: Shown;
  stock: string;
  unbeaten: boolean;
  because: Runs[];
  /** How the band was found: `first order, JCGM 100`. */
  method: string;
  shares: Share[];
  /** What each cause does to the value by itself, the widest first. */
  swings: Swing[];
  cautions: Caution[];
}

export interface NearMiss {
  code: string;
  title: string;
  runs: Runs;
}

export interface Shortfall {
  would_do: Runs[];
  ceiling: Runs | null;
}

export interface Understood {
  text: string;
  /** In UTF-16 code units; `hint` says what may have been meant. */
  parts: { start: number; end: number; meaning: string | null; hint?: string | null }[];
}

export interface Need {
  at_least: Shown;
  ceiling: Shown | null;
  text: string;
}

export type Question = { [key: string]: Json };

export interface Answer {
  id: string | null;
  asked_at: string;
  revision: number;
  version: string;
  stale: boolean;
  question: Question;
  words: string;
  understood: Understood | null;
  /** Curve and picture of the first candidate. */
  first: CandidateDetail | null;
  verb: string;
  sentence: Segment[];
  more: Blank[];
  assumed: Runs[];
  lead: Runs;
  because: Runs[];
  widens: Runs;
  need: Need;
  candidates: Candidate[];
  near_misses: NearMiss[];
  shortfall: Shortfall | null;
  cautions: Caution[];
  searched: string;
  /** Builds with steel parts; absent while they have not been looked for. */
  fitted: FittedSheet | null;
}

/** Builds with steel parts that go with an answer. */
export interface FittedSheet {
  lead: Runs;
  builds: FittedBuild[];
}

export interface FittedBuild {
  code: string;
  part: string;
  title: string;
  verdict: 'sure' | 'middle';
  value: Shown;
  low: Shown;
  high: Shown;
  range: string;
  margin: string;
  chance: string;
  /** What the same magnets give without the part. */
  bare: Shown;
  cost_each: string | null;
  cost_total: string | null;
  cost_note: string;
  size: string;
  stock: string;
  adds: Runs;
  loses: string;
  compared: string;
  plot: Plot;
  shares: Share[];
  method: string;
  cautions: Caution[];
}

export interface Chart {
  title: string;
  x: { label: string; unit: string; values: number[] };
  y: { label: string; unit: string };
  mid: number[];
  low: number[];
  high: number[];
  need: { y: number; text: string } | null;
  ceiling: { y: number; text: string } | null;
  here: { x: number; text: string } | null;
  remark: string | null;
  read_out: string;
}

export type Point = [number, number];
export type Interval = [number, number];

/** Curves over shared axes, with marked points and shaded stretches of x. */
export interface Plot {
  title: string;
  x: { label: string; unit: string };
  y: { label: string; unit: string };
  curves: PlotCurve[];
  marks: { at: Point; text: string }[];
  stretches: { from: number; to: number; text: string }[];
  remark: string;
}

export interface PlotCurve {
  name: string;
  role: 'main' | 'beside' | 'limit' | 'guide';
  points: Point[];
}

export interface Picture {
  x_range_mm: Interval;
  z_range_mm: Interval;
  lines: Point[][];
  magnets: { shape: Silhouette['shape']; x_mm: Interval; z_mm: Interval; hole_mm: number; north_up: boolean }[];
  steel: { z_mm: number; thickness_mm: number | null; text: string } | null;
  layers: { z_mm: Interval; text: string }[];
  /** The place where a field is asked. */
  spot_mm?: Point | null;
  caption: string;
}

/** A picture of magnets in a plane: SVG whose colours follow the page, and the window it shows. */
export interface Drawing {
  svg: string;
  title: string;
  across_mm: Interval;
  up_mm: Interval;
  magnets: number;
  warnings: string[];
}

/** What heat and its own field do to a magnet. */
export interface Heat {
  lead: Runs;
  facts: { label: string; text: string }[];
  /** The demagnetisation curve at each temperature of the use. */
  curve: Plot;
  /** Flux against temperature, what comes back and what does not apart. */
  temperature: Plot;
  inside: Inside;
}

/** The right half of a section: the field of each cell over that at the knee. Rows from the lower face, each from the axis outwards. */
export interface Inside {
  title: string;
  across_mm: number[];
  along_mm: number[];
  cells: number[][];
  past_knee: number;
  text: string;
}

/** What an item must stand, each empty where nothing is said. */
export interface Conditions {
  warmest: string;
  coldest: string;
  surroundings: string;
}

/** What a maker's certificate says of a lot, and whether the item is reckoned with it. */
export interface Lot {
  code: string;
  lot: string;
  br: string;
  hcj: string | null;
  note: string;
  in_use: boolean;
}

/** A magnet on a steel plate, solved. */
export interface SteelSheet {
  drawing: Drawing;
  lead: string;
  /** The field behind the plate, and the flux that it carries, in words. */
  behind: string;
  /** The pull of two of them side by side; absent where none is asked. */
  beside: SideBySide | null;
  pull: Shown;
  bare: Shown | null;
  error_estimate: number;
  against_gap: Plot;
  against_thickness: Plot;
}

/** The pull of two equal magnets side by side on one plate. */
export interface SideBySide {
  alternating: Between;
  alike: Between;
  text: string;
}

/** A value with the interval that it surely lies in, in the unit shown. */
export interface Between {
  value: number;
  low: number;
  high: number;
  unit: string;
  text: string;
}

export interface CandidateDetail {
  chart: Chart | null;
  steel: Plot | null;
  confirmed: Confirmed | null;
  picture: Picture | null;
  heat: Heat | null;
}

/** A pull as the solver has it, beside the quick law's. */
export interface Confirmed {
  value: number;
  text: string;
  agrees: boolean;
  /** The field behind steel of a given thickness, in words. */
  behind: string | null;
}

export interface Shop {
  name: string;
  currency: string;
  demo: boolean;
  version: string;
  revision: number;
  items: number;
  /** Kinds of steel parts on the shelf. */
  parts: number;
  verbs: { verb: string; text: string }[];
  layers: string[];
  steels: string[];
  grades: string[];
  families: string[];
  example: string;
}

/** A predicted value with its band. */
export interface Band {
  label: string;
  value: Shown;
  low: Shown;
  high: Shown;
  range: string;
  method: string;
  shares: Share[];
  swings: Swing[];
}

export interface Item {
  code: string;
  title: string;
  name: string | null;
  facts: { label: string; text: string }[];
  /** The field at its face, its pull on thick steel, and the temperature that its shape stands. */
  bands: Band[];
  heat: Heat | null;
  prices: { from: string; each: string }[];
  charts: Chart[];
  steel: Plot | null;
  picture: Picture | null;
  silhouette: Silhouette;
  cautions: Caution[];
  link: string | null;
  note: string | null;
  ladder: LadderRequest | null;
}

export type LadderRequest = { [key: string]: Json };

export interface Rung {
  label: string;
  detail: string;
  code: string | null;
  value: Shown;
  low: Shown;
  high: Shown;
  gain: string | null;
  total_gain: string | null;
  mass: Shown;
  mass_multiple: string | null;
  price: number | null;
  price_text: string | null;
  cost_multiple: string | null;
  gain_per_money: string | null;
  tier: 'good' | 'knee' | 'poor';
}

export interface SolidAgainstStack {
  height: string;
  solid: Shown;
  solid_code: string;
  stack: Shown;
  stack_text: string;
  loss: string;
  solid_price: string | null;
  stack_price: string | null;
}

export interface Ladder {
  request: LadderRequest;
  sentence: Segment[];
  lead: Runs;
  y: { label: string; unit: string };
  price: { label: string; unit: string };
  rungs: Rung[];
  knee: Runs | null;
  ceiling: { value: number; text: string } | null;
  solid_against_stack: SolidAgainstStack[];
}

export interface ShelfRow {
  code: string;
  title: string;
  shape: string;
  size: string;
  grade: string;
  coating: string | null;
  stock: string | number | null;
  price_from: string | null;
  price_least: string | null;
  face: Shown | null;
}

/** A steel part of the shelf. */
export interface PartRow {
  code: string;
  title: string;
  name: string;
  kind: string;
  size: string;
  steel: string;
  stock: number | null;
  price_from: string | null;
  price_least: string | null;
  mass: Shown;
  note: string | null;
}

export interface ShelfPage {
  revision: number;
  total: number;
  items: ShelfRow[];
}

export interface ImportProblem {
  line: number;
  column: string | null;
  value: string | null;
  wrong: string;
  right: string | null;
  severity?: 'error' | 'warning';
}

export interface Preview {
  rows: number;
  new: number;
  changed: number;
  unchanged: number;
  bad: number;
  encoding: string | null;
  columns: { heading: string; field: string | null; unit: string | null; remark: string | null }[];
  sample: {
    line: number;
    code: string;
    title: string;
    state: 'new' | 'changed' | 'unchanged' | 'bad';
    changes: string[];
  }[];
  problems: ImportProblem[];
  revision: number;
  may_import: boolean;
}

export interface Imported {
  revision: number;
  new: number;
  changed: number;
  unchanged: number;
}

export interface DeskEntry {
  id: string;
  asked_at: string;
  words: string;
  lead: string;
  pieces: number;
}

/** The body of every error, `application/problem+json`. `span` is in UTF-16 code units of the text that was sent. */
export interface ProblemBody {
  title: string;
  status: number;
  detail: string;
  field: string | null;
  span: Interval | null;
  hint: string | null;
  problems?: ImportProblem[];
  understood?: Understood;
}
