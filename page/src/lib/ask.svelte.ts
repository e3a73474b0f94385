// The enquiry under way: the words, the reply on show, and the answer whose sentence stands.
import { api, isAbort, Problem } from './api';
import { Blanks } from './blanks.svelte';
import type {
  AnswerSheet,
  AskBack,
  Enquiry,
  EnquirySheet,
  Problem as ProblemBody,
  Question,
  Understood,
} from './interface';
import type { Json } from './json';
import { Latest } from './latest';
import { write } from './pointer';
import { answered, heard, moved, type Heard } from './reply';
import { hashOf } from './route';
import { router } from './router.svelte';
import { settings } from './settings.svelte';
import { shop } from './shop.svelte';

/** Waits this long after a keystroke: short enough for an answer within 150 ms of it. */
const PAUSE_MS = 60;
/** Words come in bursts, and an e-mail is no short text. */
const WORDS_PAUSE_MS = 250;
/** Longer words are not put into the address. */
const LONGEST_ADDRESS = 1500;

/** What an answer comes from. */
type Asked = { words: string } | { question: Question } | { enquiry: Enquiry };

class Ask {
  /** The newest answer. */
  reply = $state.raw<EnquirySheet | null>(null);
  /** The answer whose question stands; while a blank is being filled the newest runs ahead of it. */
  settled = $state.raw<EnquirySheet | null>(null);
  /** What must be asked back. */
  asks = $state.raw<AskBack[]>([]);
  /** The enquiry as far as it was said, where that is not a whole question. */
  draft = $state.raw<Enquiry | null>(null);
  busy = $state(false);
  /** What is wrong with the question as a whole. */
  problem = $state.raw<ProblemBody | null>(null);
  words = $state('');
  wordsProblem = $state.raw<ProblemBody | null>(null);
  judgedWords = $state('');
  /** What was read of the words, as long as they stand. */
  understood = $state.raw<Understood | null>(null);
  #latest = new Latest();
  #touched = false;
  /** What the standing reply came from. */
  #asked: Asked | null = null;

  readonly blanks = new Blanks(
    (path, value, settle) => this.#fill(path, value, settle),
    () => this.#back(),
  );

  /** The answer on show, where the reply is one of magnets that will do. */
  get answer(): AnswerSheet | null {
    return this.reply?.kind === 'choose' ? this.reply : null;
  }

  /** The answer whose sentence stands. */
  get standing(): AnswerSheet | null {
    return this.settled?.kind === 'choose' ? this.settled : null;
  }

  /** The enquiry of the reply on show, where that is no choice of magnets. */
  get enquiry(): Enquiry | null {
    if (this.reply === null || this.reply.kind === 'choose') return null;
    return this.draft ?? (this.#asked && 'enquiry' in this.#asked ? this.#asked.enquiry : null);
  }

  /** Enters the place: with what the address says, or where the reader left off, or with an empty box. Files nothing. */
  async enter(words: string | undefined, enquiry: string | undefined): Promise<void> {
    const asked = enquiry === undefined ? null : parsed(enquiry);
    if (asked) await this.enquire(asked);
    else if (words && words !== this.words && words !== this.standing?.words) {
      this.words = words;
      await this.#say(true, false);
    } else if (this.settled) this.#noteAddress();
  }

  /** Begins with a verb. What was said about surroundings, limits and number is kept once the reader has said it. Files nothing. */
  async choose(verb: string): Promise<void> {
    this.blanks.open = null;
    await this.#guard(async () => {
      const said = this.#touched ? this.standing?.question : undefined;
      const { question } = await api.start(verb);
      const kept = said ? pick(said, ['conditions', 'limits', 'pieces']) : {};
      await this.#ask({ question: { ...question, ...kept } }, true, false, 0);
      this.words = '';
    });
  }

  async typeWords(text: string): Promise<void> {
    this.words = text;
    if (text.trim() === '') {
      this.#latest.stop();
      this.wordsProblem = null;
      this.understood = null;
      this.asks = [];
      this.draft = null;
      this.#back();
      return;
    }
    await this.#say(false, false);
  }

  /** Reads the words in earnest: the answer goes on the desk. */
  async readWords(): Promise<void> {
    if (this.words.trim() !== '') await this.#say(true, true);
  }

  /** An enquiry that stands already, such as about an item of the shelf. */
  async enquire(enquiry: Enquiry): Promise<void> {
    this.words = '';
    await this.#guard(() => this.#ask({ enquiry }, true, false, 0));
  }

  /** Takes an answer to what was asked back. What else is open stays to be asked. */
  async take(ask: AskBack, value: Json): Promise<void> {
    const left = this.asks.filter(({ place }) => place !== ask.place);
    // What is asked belongs to the reply on show, which words that are being typed have not settled yet.
    const standing = this.answer ?? this.standing;
    await this.#guard(async () => {
      if (!this.draft && standing) {
        const question = write(standing.question, ask.place.replace(/^\/question/, ''), value);
        await this.#ask({ question }, true, false, 0);
        this.asks = left;
        return;
      }
      if (!this.draft) return;
      const draft = answered(this.draft, ask, value);
      this.draft = draft;
      this.asks = left;
      // With something open still, there may be no answer yet.
      if (left.length > 0) await this.#ask({ enquiry: draft }, true, false, 0).catch(() => this.#open(draft, left));
      else await this.#ask({ enquiry: draft }, true, false, 0);
    });
  }

  /** Reads a phrase as something else: what stands at one place goes to another, or is left out. */
  async reread(from: string, to: string | null): Promise<void> {
    const place = (path: string) => path.replace(/^\/question/, '');
    const standing = this.standing;
    await this.#guard(async () => {
      if (standing) {
        const { question } = standing;
        const next = to === null ? write(question, place(from), null) : moved(question, place(from), place(to));
        await this.#ask({ question: next }, true, false, 0);
      } else if (this.draft) {
        const next = to === null ? write(this.draft, from, null) : moved(this.draft, from, to);
        await this.#ask({ enquiry: next }, true, false, 0);
      }
    });
  }

  #open(draft: Enquiry, asks: AskBack[]): void {
    this.busy = false;
    this.draft = draft;
    this.asks = asks;
  }

  /** Takes up the question of an answer from elsewhere. */
  async adopt(question: Question): Promise<void> {
    this.#touched = true;
    this.words = '';
    await this.#guard(() => this.#ask({ question }, true, true, 0));
  }

  /** Puts the answer on show on the desk. */
  async keep(): Promise<void> {
    const question = this.standing?.question;
    if (question) await this.#guard(() => this.#ask({ question }, true, true, 0));
  }

  /** Asks again what stands, for other units or after the server was away. */
  async again(): Promise<void> {
    const asked = this.#asked;
    if (asked) await this.#guard(() => this.#ask(asked, true, Boolean(this.standing?.id), 0));
    else await this.enter(router.route.params['ask'], router.route.params['enquiry']);
  }

  async #say(settle: boolean, keep: boolean): Promise<void> {
    const words = this.words;
    this.#touched = true;
    await this.#guard(async () => {
      try {
        await this.#ask({ words }, settle, keep, settle ? 0 : WORDS_PAUSE_MS);
      } catch (error) {
        if (!(error instanceof Problem)) throw error;
        this.wordsProblem = error.body;
        this.judgedWords = words;
      }
    });
  }

  async #fill(path: string, value: Json, settle: boolean): Promise<boolean> {
    const question = this.standing && write(this.standing.question, path, value);
    if (!question) return false;
    this.#touched = true;
    let done = false;
    try {
      done = await this.#ask({ question }, settle, settle, settle ? 0 : PAUSE_MS);
    } catch (error) {
      if (error instanceof Problem) throw error;
      this.#failed(error);
    }
    return done;
  }

  async #ask(asked: Asked, settle: boolean, keep: boolean, wait_ms: number): Promise<boolean> {
    const work = async (signal: AbortSignal): Promise<Heard> =>
      'enquiry' in asked
        ? { sheet: await api.enquiry(asked.enquiry, settings.units, signal), asks: [], understood: null, draft: null }
        : heard(await api.ask(asked, keep, settings.units, signal));
    this.busy = true;
    try {
      const found = await this.#latest.run(work, wait_ms);
      if (!found) return false;
      const { sheet, asks, understood, draft } = found;
      this.reply = sheet;
      if ('words' in asked) this.understood = understood;
      this.asks = asks;
      this.draft = draft;
      this.problem = this.wordsProblem = null;
      if (settle) {
        this.settled = sheet;
        this.#asked = asked;
        this.#noteAddress();
      }
      this.busy = false;
      return true;
    } catch (error) {
      this.busy = false;
      throw error;
    }
  }

  /** The address holds the enquiry, so that it survives a reload and can be sent. */
  #noteAddress(): void {
    if (router.route.place !== 'ask') return;
    const words = this.standing?.words ?? this.words;
    const enquiry = this.#asked && 'enquiry' in this.#asked ? JSON.stringify(this.#asked.enquiry) : '';
    router.note(hashOf('ask', '', enquiry ? { enquiry } : { ask: words.length > LONGEST_ADDRESS ? '' : words }));
  }

  async #guard(work: () => Promise<unknown>): Promise<void> {
    try {
      await work();
    } catch (error) {
      this.#failed(error);
    }
  }

  #failed(error: unknown): void {
    if (isAbort(error)) return;
    shop.noticed(error);
    if (error instanceof Problem) this.problem = error.body;
  }

  /** Shows the standing reply again. */
  #back(): void {
    this.#latest.stop();
    this.busy = false;
    this.problem = null;
    this.reply = this.settled;
  }
}

function pick(question: Question, keys: string[]): Partial<Question> {
  return Object.fromEntries(Object.entries(question).filter(([key]) => keys.includes(key)));
}

function parsed(text: string): Enquiry | null {
  try {
    const value = JSON.parse(text) as Enquiry | null;
    return value !== null && typeof value === 'object' ? value : null;
  } catch {
    return null; // A cut link: begin afresh.
  }
}

export const ask = new Ask();
