// The blank that is being filled: its draft, what the server says to it, and the ways out (set, leave, clear).
import { Problem } from './api';
import type { Blank, Problem as ProblemBody } from './interface';
import type { Json } from './json';
import { read } from './pointer';

/** Kinds that are typed into the sentence itself; the others open a panel to choose from. */
const TYPED = ['load', 'length', 'field', 'force', 'mass', 'temperature', 'money', 'count', 'factor', 'words'];

export const isTyped = (blank: Blank): boolean => TYPED.includes(blank.kind);
const isNumber = (blank: Blank): boolean => blank.kind === 'count' || blank.kind === 'factor';

/** The draft as the question wants it. Numbers that cannot be read go as they are: the server says what is wrong. */
export function rawValue(blank: Blank, draft: Json): Json {
  if (typeof draft !== 'string') return draft;
  const text = draft.trim();
  if (blank.kind === 'words')
    return text
      .split(/[,;]+/)
      .map((word) => word.trim())
      .filter(Boolean);
  if (text === '' && blank.optional) return null;
  if (!isNumber(blank)) return text;
  const number = Number(text.replace(',', '.'));
  return text !== '' && Number.isFinite(number) ? number : text;
}

/** What the editor starts from. */
export function draftOf(blank: Blank): Json {
  if (!isTyped(blank)) return blank.value as Json;
  return Array.isArray(blank.value) ? blank.value.join(', ') : String(blank.value ?? '');
}

/** What takes a blank out of the sentence, or `undefined` where the question cannot do without it. */
export function absence(blank: Blank): Json | undefined {
  if (blank.optional) return null;
  if (blank.kind === 'choices' || blank.kind === 'words') return [];
  return blank.kind === 'switch' ? false : undefined;
}

/** The next value of a stepper: whole counts from 1, factors in tenths. */
export function stepped(blank: Blank, draft: Json, steps: number): string {
  const step = blank.kind === 'count' ? 1 : 0.1;
  const now = Number(String(draft).replace(',', '.'));
  const next = (Number.isFinite(now) ? now : 1) + steps * step;
  return String(Math.max(blank.kind === 'count' ? 1 : 0, Math.round(next * 1000) / 1000));
}

/** Asks with one place changed. `settle` is false while typing. Rejects with what the server said. */
export type Try = (path: string, value: Json, settle: boolean) => Promise<boolean>;

export class Blanks {
  open = $state.raw<Blank | null>(null);
  draft = $state.raw<Json>(null);
  problem = $state.raw<ProblemBody | null>(null);
  /** The text that the problem's span is about. */
  judged = $state('');
  #try: Try;
  #undo: () => void;

  constructor(attempt: Try, undo: () => void) {
    this.#try = attempt;
    this.#undo = undo;
  }

  begin(blank: Blank): void {
    this.open = blank;
    this.draft = draftOf(blank);
    this.problem = null;
  }

  /** The draft changed: ask, without closing. */
  async change(draft: Json): Promise<void> {
    this.draft = draft;
    await this.#send(false);
  }

  /** Sets the blank. Resolves to whether it is closed. */
  async commit(draft: Json = this.draft): Promise<boolean> {
    const blank = this.open;
    if (!blank) return true;
    this.draft = draft;
    if (JSON.stringify(draftOf(blank)) === JSON.stringify(draft)) {
      this.cancel();
      return true;
    }
    const done = await this.#send(true);
    if (done && this.open === blank) this.open = null;
    return done;
  }

  async clear(): Promise<boolean> {
    const without = this.open ? absence(this.open) : undefined;
    return without === undefined ? false : this.commit(without);
  }

  /** Leaves the blank as it was. */
  cancel(): void {
    if (!this.open) return;
    this.open = null;
    this.problem = null;
    this.#undo();
  }

  async #send(settle: boolean): Promise<boolean> {
    const blank = this.open;
    if (!blank) return false;
    const value = rawValue(blank, this.draft);
    try {
      const done = await this.#try(blank.path, value, settle);
      if (done) this.problem = null;
      return done;
    } catch (error) {
      if (!(error instanceof Problem)) throw error;
      this.problem = error.body;
      this.judged = offending(blank, value, error.body.field ?? null);
      return false;
    }
  }
}

/** The text that a problem is about: the part of the value that its field names, or the value itself. */
function offending(blank: Blank, value: Json, field: string | null): string {
  const inside = field?.startsWith(`${blank.path}/`) ? read(value, field.slice(blank.path.length)) : value;
  return typeof inside === 'string' ? inside : '';
}
