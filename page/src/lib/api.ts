// Typed calls to the server. Every failure is either a `Problem` (the server said what is wrong) or `Unreachable`.
import type {
  AgainSheet,
  AnswerSheet,
  AskBack,
  CandidateDetail,
  Change,
  Conditions,
  DayWork,
  DesignRequest,
  DesignView,
  Drawing,
  Enquiry,
  EnquirySheet,
  EntryView,
  Gone,
  Issued,
  ItemEntry,
  ItemForm,
  ItemView,
  LadderRequest,
  LadderView,
  LessonLine,
  LessonText,
  LessonView,
  Letter,
  LinkChanges,
  LinkView,
  LotLine,
  Missed,
  Outcome,
  ParcelRequest,
  ParcelView,
  GoodsLine,
  PartLine,
  Preview,
  Problem as ProblemBody,
  Purged,
  Question,
  Quotation,
  QuotationRequest,
  Reply,
  ShelfPage,
  ShopView,
  SteelSheet,
  Subject,
  UndoneChange,
} from './interface';
import type { Json } from './json';

/** Units as the interface names them; empty for the shop's own. */
export type Units = string;

/** The server refused, and says why. */
export class Problem extends Error {
  readonly body: ProblemBody;
  constructor(body: ProblemBody) {
    super(body.detail || body.title);
    this.body = body;
  }
}

/** Nothing answered at the other end. */
export class Unreachable extends Error {
  constructor() {
    super('the server does not answer');
  }
}

export function isAbort(error: unknown): boolean {
  return error instanceof DOMException && error.name === 'AbortError';
}

type Params = Record<string, string | number | boolean | null | undefined>;

/** Joins a path and the parameters that are set. */
export function address(path: string, params: Params = {}): string {
  const query = Object.entries(params)
    .filter(([, value]) => value !== null && value !== undefined && value !== '')
    .map(([key, value]) => `${key}=${encodeURIComponent(String(value))}`)
    .join('&');
  return query ? `api/${path}?${query}` : `api/${path}`;
}

/** Reads a problem body, or makes one for an answer that is not in our form (a proxy, say). */
export function problemFrom(status: number, text: string): Problem {
  try {
    const body = JSON.parse(text) as Partial<ProblemBody>;
    if (typeof body.detail === 'string' || typeof body.title === 'string') {
      const { title = '', detail = '', field = null, span = null, hint = null } = body;
      return new Problem({ ...body, title, detail, field, span, hint, status });
    }
  } catch {
    // Not JSON: the plain text below is the best account there is.
  }
  const detail = `the server answered ${status}${text && text.length < 200 ? `: ${text}` : ''}`;
  return new Problem({ title: 'unexpected answer', status, detail, field: null, span: null, hint: null });
}

/** What every change sends where people sign in, so that the server knows its own page; learned from the shop. */
const CHANGE_TOKEN = 'x-change-token';
let changeToken: string | undefined;

export function knowShop(shop: ShopView): ShopView {
  changeToken = shop.signed_in?.change_token ?? '';
  return shop;
}

async function tokenForChange(): Promise<string> {
  if (changeToken === undefined) knowShop(await call<ShopView>('api/shop'));
  return changeToken ?? '';
}

/** One call of the interface. */
export async function call<T>(path: string, given: RequestInit = {}): Promise<T> {
  let init = given;
  if (given.method && given.method !== 'GET') {
    const token = await tokenForChange();
    if (token) init = { ...given, headers: { ...given.headers, [CHANGE_TOKEN]: token } };
  }
  let response: Response;
  try {
    response = await fetch(path, init);
  } catch (error) {
    if (isAbort(error)) throw error;
    throw new Unreachable();
  }
  if (response.status === 204) return undefined as T;
  const text = await response.text();
  if (!response.ok) {
    if ([502, 503, 504].includes(response.status) && !text.startsWith('{')) throw new Unreachable();
    // The session has ended: whoever was here signs in again.
    if (response.status === 401) location.assign('sign-in');
    throw problemFrom(response.status, text);
  }
  return JSON.parse(text) as T;
}

/** A request that sends JSON. */
export function post(body: unknown, signal?: AbortSignal, method = 'POST'): RequestInit {
  return {
    method,
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(body),
    signal: signal ?? null,
  };
}

const patch = (body: unknown): RequestInit => post(body, undefined, 'PATCH');

/** A request that asks only. */
export const get = (signal?: AbortSignal): RequestInit => ({ signal: signal ?? null });
const id = encodeURIComponent;

export type Asking = { words: string } | { question: Question };

export const api = {
  shop: async (signal?: AbortSignal) => knowShop(await call<ShopView>('api/shop', get(signal))),
  start: (verb: string, signal?: AbortSignal) => call<{ question: Question }>(address('start', { verb }), get(signal)),
  ask: (asking: Asking, keep: boolean, units: Units, signal?: AbortSignal) =>
    call<Reply>(address('ask', { units }), post({ ...asking, keep }, signal)),
  enquiry: (enquiry: Enquiry, units: Units, signal?: AbortSignal) =>
    call<EnquirySheet>(address('enquiry', { units }), post(enquiry, signal)),
  answer: (answer: string, units: Units, signal?: AbortSignal) =>
    call<AnswerSheet>(address(`answers/${id(answer)}`, { units }), get(signal)),
  replyTo: (answer: string, units: Units, signal?: AbortSignal) =>
    call<Letter>(address(`answers/${id(answer)}/reply`, { units }), get(signal)),
  replyToEnquiry: (enquiry: Enquiry, units: Units, signal?: AbortSignal) =>
    call<Letter>(address('reply', { units }), post(enquiry, signal)),
  /** The letter that asks back what an enquiry lacks. */
  replyBack: (asks: AskBack[], signal?: AbortSignal) =>
    call<Letter>(
      'api/reply/back',
      post(
        { questions: asks.map(({ question, answers }) => ({ question, answers: answers.map(({ label }) => label) })) },
        signal,
      ),
    ),
  lessons: (signal?: AbortSignal) => call<LessonLine[]>('api/lessons', get(signal)),
  lesson: (name: string, units: Units, signal?: AbortSignal) =>
    call<LessonView>(address(`lessons/${id(name)}`, { units }), get(signal)),
  lessonText: (name: string, signal?: AbortSignal) => call<LessonText>(`api/lessons/${id(name)}/text`, get(signal)),
  keepLesson: (text: string, units: Units) => call<LessonView>(address('lessons', { units }), post({ text })),
  removeLesson: (name: string) => call<LessonText>(`api/lessons/${id(name)}`, { method: 'DELETE' }),
  /** Keeps a paper as it stands, to be sent as a link. */
  keepLink: (of: Subject, units: Units) => call<LinkView>(address('links', { units }), post(of)),
  link: (link: string, signal?: AbortSignal) => call<LinkView>(address(`links/${id(link)}`), get(signal)),
  linkAgain: (link: string, signal?: AbortSignal) => call<LinkChanges>(address(`links/${id(link)}/again`), get(signal)),
  again: (answer: string, units: Units, signal?: AbortSignal) =>
    call<AgainSheet>(address(`answers/${id(answer)}/again`, { units }), get(signal)),
  quote: (request: QuotationRequest, issueOf: string, units: Units) =>
    call<Quotation>(address(issueOf ? `quotations/${id(issueOf)}` : 'quotations', { units }), post(request)),
  quotations: (signal?: AbortSignal) => call<Issued[]>('api/quotations', get(signal)),
  quotation: (number: string, issue: string | undefined, signal?: AbortSignal) =>
    call<Quotation>(address(`quotations/${id(number)}`, { issue }), get(signal)),
  candidate: (answer: string, index: number, units: Units, signal?: AbortSignal) =>
    call<CandidateDetail>(address(`answers/${id(answer)}/candidates/${index}`, { units }), get(signal)),
  fitted: (answer: string, units: Units, signal?: AbortSignal) =>
    call<AnswerSheet>(address(`answers/${id(answer)}/fitted`, { units }), get(signal)),
  item: (code: string, conditions: Conditions, units: Units, signal?: AbortSignal) =>
    call<ItemView>(address(`items/${id(code)}`, { ...conditions, units }), get(signal)),
  lots: (signal?: AbortSignal) => call<LotLine[]>('api/lots', get(signal)),
  takeLot: (
    code: string,
    lot: { certificate: { lot: string; br: string; hcj: string | null }; note: string; replace?: boolean },
  ) => call<{ revision: number }>(`api/lots/${id(code)}`, post(lot)),
  dropLot: (code: string) => call<{ revision: number }>(`api/lots/${id(code)}`, { method: 'DELETE' }),
  parcel: (request: ParcelRequest, units: Units, signal?: AbortSignal) =>
    call<ParcelView>(address('parcel', { units }), post(request, signal)),
  design: (request: DesignRequest, units: Units, signal?: AbortSignal) =>
    call<DesignView>(address('design', { units }), post(request, signal)),
  ladder: (request: LadderRequest, units: Units, signal?: AbortSignal) =>
    call<LadderView>(address('ladder', { units }), post(request, signal)),
  ladderStart: (signal?: AbortSignal) => call<LadderRequest>('api/ladder/start', get(signal)),
  picture: (request: { [key: string]: Json }, units: Units, signal?: AbortSignal) =>
    call<Drawing>(address('field/picture', { units }), post(request, signal)),
  steel: (request: { [key: string]: Json }, units: Units, signal?: AbortSignal) =>
    call<SteelSheet>(address('field/steel', { units }), post(request, signal)),
  compute: (request: { [key: string]: Json }, signal?: AbortSignal) =>
    call<{ B_T: [number, number, number][] }>('api/field/compute', post(request, signal)),
  shelf: (query: ShelfQuery, units: Units, signal?: AbortSignal) =>
    call<ShelfPage>(address('shelf', { ...query, units }), get(signal)),
  goods: (search: string, units: Units, signal?: AbortSignal) =>
    call<GoodsLine[]>(address('goods', { search, units }), get(signal)),
  parts: (search: string, units: Units, signal?: AbortSignal) =>
    call<PartLine[]>(address('parts', { search, units }), get(signal)),
  undoChange: () => call<UndoneChange>('api/shelf/undo', { method: 'POST' }),
  redoChange: () => call<UndoneChange>('api/shelf/redo', { method: 'POST' }),
  entries: (query: Params, signal?: AbortSignal) => call<DayWork>(address('entries', query), get(signal)),
  fileEnquiry: (message: string, enquiry: Enquiry, units: Units) =>
    call<{ id: string }>(address('entries', { units }), post({ message, enquiry })),
  changeEntry: (entry: string, to: Change) => call<EntryView>(`api/entries/${id(entry)}`, patch(to)),
  changeEntryOf: (answer: string, to: Change) => call<EntryView>(`api/answers/${id(answer)}/entry`, patch(to)),
  removeEntry: (entry: string) => call<void>(`api/entries/${id(entry)}`, { method: 'DELETE' }),
  restoreEntry: (entry: string) => call<void>(`api/entries/${id(entry)}/restore`, { method: 'POST' }),
  missed: (days: number, signal?: AbortSignal) => call<Missed[]>(address('missed', { days }), get(signal)),
  handOver: (customer: string) => call<EntryView[]>(address('customers', { customer })),
  forget: (customer: string) => call<Gone>(address('customers', { customer }), { method: 'DELETE' }),
  purge: (before: string, count_only: boolean) => call<Purged>('api/entries/purge', post({ before, count_only })),
};

export interface ShelfQuery {
  search: string;
  shape: string;
  sort: string;
  offset: number;
  limit: number;
}

export interface ReadOptions {
  length_unit: string;
  decimal: string;
  sheet: string;
  /** The line that names the columns; empty to find it by its words. */
  heading_line: string;
  /** What columns hold, as JSON; empty for what was said of an earlier file with the same headings. */
  map: string;
  skip_bad: boolean;
}

/** Sends a file; `progress` hears the share that has left, 0 to 1. */
export async function upload<T>(path: string, file: Blob, progress: (share: number) => void): Promise<T> {
  const token = await tokenForChange();
  return new Promise((resolve, reject) => {
    const request = new XMLHttpRequest();
    request.open('POST', path);
    request.setRequestHeader('content-type', 'application/octet-stream');
    if (token) request.setRequestHeader(CHANGE_TOKEN, token);
    request.upload.onprogress = (event) => event.lengthComputable && progress(event.loaded / event.total);
    request.onerror = () => reject(new Unreachable());
    request.onload = () => {
      if (request.status >= 400) return reject(problemFrom(request.status, request.responseText));
      try {
        resolve(JSON.parse(request.responseText) as T);
      } catch {
        reject(problemFrom(request.status, request.responseText));
      }
    };
    request.send(file);
  });
}

export const preview = (file: File, options: ReadOptions, progress: (share: number) => void) =>
  upload<Preview>(address('shelf/preview', { name: file.name, ...options }), file, progress);

export const importFile = (
  file: File,
  options: ReadOptions,
  seen: { revision: number; confirmed: boolean },
  progress: (share: number) => void,
) => upload<Outcome>(address('shelf/import', { name: file.name, ...options, ...seen }), file, progress);

export const itemForm = (code: string, signal?: AbortSignal) =>
  call<ItemForm>(address('shelf/item', { code }), get(signal));
export const putItem = (entry: ItemEntry) => call<Outcome>('api/shelf/item', post(entry));
export const takeOffItem = (code: string) =>
  call<{ revision: number }>(address('shelf/item', { code }), { method: 'DELETE' });

export const exportAddress = (format: 'csv' | 'xlsx') => address('shelf/export', { format });

/** The address of a kept answer, an item or a lesson on paper. */
export const paperAddress = (of: 'answers' | 'items' | 'lessons', key: string, units: Units) =>
  address(`${of}/${id(key)}/paper`, { units });

/** The address of a ladder on paper. */
export const ladderPaper = (request: LadderRequest, units: Units) =>
  address('ladder/paper', { for: JSON.stringify(request), units });

/** The address of what is told, compared, explained or refused on paper. */
export const toldPaper = (enquiry: Enquiry, units: Units) =>
  address('enquiry/paper', { for: JSON.stringify(enquiry), units });

/** The address of a parcel's packing slip. */
export const slipAddress = (request: ParcelRequest, units: Units) =>
  address('parcel/paper', { for: JSON.stringify(request), units });

/** The address of a quotation as PDF or as workbook. */
export const quotationFile = (number: string, as: 'paper' | 'workbook', params: Params) =>
  address(`quotations/${id(number)}/${as}`, params);
