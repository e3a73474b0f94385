// The question under way: the answer on show, the answer whose sentence stands, the typed words.
import { api, isAbort, Problem, type Asking } from './api';
import { Blanks } from './blanks.svelte';
import type { AnswerSheet, Problem as ProblemBody, Question } from './interface';
import type { Json } from './json';
import { Latest } from './latest';
import { write } from './pointer';
import { hashOf } from './route';
import { router } from './router.svelte';
import { settings } from './settings.svelte';
import { shop } from './shop.svelte';

/** Waits this long after a keystroke: short enough for an answer within 150 ms of it. */
const PAUSE_MS = 60;

class Ask {
  /** The newest answer. */
  answer = $state.raw<AnswerSheet | null>(null);
  /** The answer whose question stands; while a blank is being filled the newest runs ahead of it. */
  settled = $state.raw<AnswerSheet | null>(null);
  busy = $state(false);
  /** What is wrong with the question as a whole. */
  problem = $state.raw<ProblemBody | null>(null);
  words = $state('');
  wordsProblem = $state.raw<ProblemBody | null>(null);
  judgedWords = $state('');
  #latest = new Latest();
  #touched = false;

  readonly blanks = new Blanks(
    (path, value, settle) => this.#fill(path, value, settle),
    () => this.#back(),
  );

  /** Enters the place: with the words of the address, or where the reader left off, or afresh. */
  async enter(words: string | undefined): Promise<void> {
    if (words && words !== this.settled?.words) {
      this.words = words;
      await this.enterWords();
    } else if (this.settled) this.#noteAddress(this.settled);
    else await this.choose('hold');
  }

  /** Begins with another verb. What was said about surroundings, limits and number is kept once the reader has said it. */
  async choose(verb: string): Promise<void> {
    this.blanks.open = null;
    await this.#guard(async () => {
      const said = this.#touched ? this.settled?.question : undefined;
      await this.#run(async (signal) => {
        const { question } = await api.start(verb, signal);
        const kept = said ? pick(said, ['conditions', 'limits', 'pieces']) : {};
        return api.ask({ question: { ...question, ...kept } }, true, settings.units, signal);
      }, true);
      this.words = '';
    });
  }

  async typeWords(text: string): Promise<void> {
    this.words = text;
    if (text.trim() === '') {
      this.#latest.stop();
      this.wordsProblem = null;
      this.#back();
      return;
    }
    await this.#say(false);
  }

  async enterWords(): Promise<void> {
    if (this.words.trim() !== '') await this.#say(true);
  }

  /** The reader turned away from the words: what they said so far is now the question. */
  leaveWords(): void {
    if (!this.answer || this.answer === this.settled || this.blanks.open) return;
    this.settled = this.answer;
    if (!this.wordsProblem) void this.enterWords();
  }

  /** Takes up the question of an answer from elsewhere. */
  async adopt(question: Question): Promise<void> {
    this.#touched = true;
    this.words = '';
    await this.#guard(() => this.#send({ question }, true, 0));
  }

  /** Asks the standing question again, for other units or after the server was away. */
  async again(): Promise<void> {
    if (this.settled) await this.#guard(() => this.#send({ question: this.settled!.question }, true, 0));
    else await this.enter(router.route.params['ask']);
  }

  async #say(settle: boolean): Promise<void> {
    const words = this.words;
    this.#touched = true;
    await this.#guard(async () => {
      try {
        await this.#send({ words }, settle, settle ? 0 : PAUSE_MS);
      } catch (error) {
        if (!(error instanceof Problem)) throw error;
        this.wordsProblem = error.body;
        this.judgedWords = words;
      }
    });
  }

  async #fill(path: string, value: Json, settle: boolean): Promise<boolean> {
    const question = this.settled && write(this.settled.question, path, value);
    if (!question) return false;
    this.#touched = true;
    let done = false;
    try {
      done = await this.#send({ question }, settle, settle ? 0 : PAUSE_MS);
      if (done && settle) this.words = '';
    } catch (error) {
      if (error instanceof Problem) throw error;
      this.#failed(error);
    }
    return done;
  }

  #send(asking: Asking, settle: boolean, wait_ms: number): Promise<boolean> {
    return this.#run((signal) => api.ask(asking, settle, settings.units, signal), settle, wait_ms);
  }

  async #run(work: (signal: AbortSignal) => Promise<AnswerSheet>, settle: boolean, wait_ms = 0): Promise<boolean> {
    this.busy = true;
    try {
      const answer = await this.#latest.run(work, wait_ms);
      if (!answer) return false;
      this.answer = answer;
      this.problem = this.wordsProblem = null;
      if (settle) {
        this.settled = answer;
        this.#noteAddress(answer);
      }
      this.busy = false;
      return true;
    } catch (error) {
      this.busy = false;
      throw error;
    }
  }

  /** The address holds the question, so that it survives a reload and can be sent. */
  #noteAddress(answer: AnswerSheet): void {
    if (router.route.place === 'ask') router.note(hashOf('ask', '', { ask: answer.words }));
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

  /** Shows the standing answer again. */
  #back(): void {
    this.#latest.stop();
    this.busy = false;
    this.problem = null;
    this.answer = this.settled;
  }
}

function pick(question: Question, keys: string[]): Partial<Question> {
  return Object.fromEntries(Object.entries(question).filter(([key]) => keys.includes(key)));
}

export const ask = new Ask();
