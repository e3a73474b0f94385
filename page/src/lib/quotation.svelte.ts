// The quotation being written: what is in it outlives a reload, so that nothing is lost on the way from answer to answer.
import type { Quotation, QuotationRequest } from './interface';

export interface BasketLine {
  answer: string;
  candidate: number;
  quantity: number;
  title: string;
  asked: string;
}

interface Held {
  customer: string;
  reference: string;
  note: string;
  issueOf: string;
  lines: BasketLine[];
}

const KEY = 'quotation';
const EMPTY: Held = { customer: '', reference: '', note: '', issueOf: '', lines: [] };

function held(): Held {
  try {
    const found = JSON.parse(sessionStorage.getItem(KEY) ?? '{}') as Partial<Held>;
    return { ...EMPTY, ...found, lines: Array.isArray(found.lines) ? found.lines : [] };
  } catch {
    return EMPTY; // Storage is closed or was written by another version: begin afresh.
  }
}

class Basket {
  customer = $state('');
  reference = $state('');
  note = $state('');
  /** The number of the quotation that this is a new issue of; empty for a new one. */
  issueOf = $state('');
  lines = $state<BasketLine[]>([]);

  constructor() {
    Object.assign(this, held());
    $effect.root(() => {
      $effect(() => {
        const { customer, reference, note, issueOf, lines } = this;
        try {
          sessionStorage.setItem(KEY, JSON.stringify({ customer, reference, note, issueOf, lines }));
        } catch {
          // Without storage it lives as long as the page.
        }
      });
    });
  }

  /** Adds a build, once. */
  add(line: BasketLine): void {
    const same = this.lines.some((one) => one.answer === line.answer && one.candidate === line.candidate);
    if (!same) this.lines.push(line);
  }

  remove(index: number): void {
    this.lines.splice(index, 1);
  }

  clear(): void {
    Object.assign(this, { ...EMPTY, lines: [] });
  }

  /** Takes up a quotation to make a new issue of it. */
  take(made: Quotation): void {
    this.customer = made.customer;
    this.reference = made.reference;
    this.note = made.note;
    this.issueOf = made.number;
    this.lines = made.lines.map(({ answer, candidate, quantity, title, asked }) => ({
      answer,
      candidate,
      quantity,
      title,
      asked,
    }));
  }

  request(): QuotationRequest {
    return {
      customer: this.customer,
      reference: this.reference,
      note: this.note,
      lines: this.lines.map(({ answer, candidate, quantity }) => ({ answer, candidate, quantity })),
    };
  }
}

export const basket = new Basket();
