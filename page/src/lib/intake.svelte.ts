// Bringing in a price list: choose, look at what would happen, do it, take it back.
import { api, importFile, preview, Problem, type ReadOptions } from './api';
import type { Column, ColumnChoice, ImportProblem, Outcome, Preview } from './interface';
import { shop } from './shop.svelte';

const AS_RECOGNISED: ReadOptions = {
  length_unit: '',
  decimal: '',
  sheet: '',
  heading_line: '',
  map: '',
  skip_bad: false,
};

/** What each column holds now, as it would be said. */
export const choicesOf = (columns: Column[]): ColumnChoice[] =>
  columns.map(({ heading, field, unit }) => ({ heading, field: field ?? '', unit: unit ?? '' }));

type Stage = 'idle' | 'reading' | 'preview' | 'importing' | 'done' | 'undone';

export class Intake {
  stage = $state<Stage>('idle');
  file = $state.raw<File | null>(null);
  preview = $state.raw<Preview | null>(null);
  done = $state.raw<Outcome | null>(null);
  error = $state.raw<unknown>(null);
  /** Problems that the server found only at the import itself. */
  problems = $state.raw<ImportProblem[]>([]);
  progress = $state(0);
  options = $state<ReadOptions>({ ...AS_RECOGNISED });
  /** Whether what would be lost has been seen and is wanted. */
  confirmed = $state(false);

  async choose(file: File): Promise<void> {
    this.file = file;
    this.preview = null;
    this.options = { ...AS_RECOGNISED };
    await this.read();
  }

  /** Reads the columns as said; what was kept of an earlier file does not count any more. */
  async say(choices: ColumnChoice[]): Promise<void> {
    this.options.map = JSON.stringify(choices);
    await this.read();
  }

  /** Reads the file again with everything as its headings say. */
  async forget(): Promise<void> {
    const { sheet, heading_line } = this.options;
    this.options = { ...AS_RECOGNISED, sheet, heading_line, map: '[]' };
    await this.read();
  }

  /** Reads the file, again after an option changed. */
  async read(): Promise<void> {
    const file = this.file;
    if (!file) return;
    this.confirmed = false;
    // What was kept of an earlier file is shown, and from then on said anew with every change.
    if (this.preview?.kept && !this.options.map) this.options.map = JSON.stringify(choicesOf(this.preview.columns));
    await this.#do('reading', 'idle', async () => {
      const seen = await preview(file, { ...this.options }, (share) => (this.progress = share));
      if (seen.kept) {
        this.options.length_unit = seen.kept.length_unit ?? '';
        this.options.decimal = seen.kept.decimal ?? '';
      }
      this.preview = seen;
      this.stage = 'preview';
    });
  }

  async import(): Promise<boolean> {
    const { file, preview: seen } = this;
    if (!file || !seen) return false;
    return this.#do('importing', 'preview', async () => {
      const { revision } = seen;
      const confirmed = this.confirmed;
      this.done = await importFile(
        file,
        { ...this.options },
        { revision, confirmed },
        (share) => (this.progress = share),
      );
      this.stage = 'done';
    });
  }

  async undo(): Promise<boolean> {
    return this.#do('done', 'done', async () => {
      await api.undoChange();
      this.stage = 'undone';
    });
  }

  async redo(): Promise<boolean> {
    return this.#do('undone', 'undone', async () => {
      const { revision } = await api.redoChange();
      if (this.done) this.done = { ...this.done, revision };
      this.stage = 'done';
    });
  }

  reset(): void {
    this.stage = 'idle';
    this.file = this.preview = this.done = this.error = null;
    this.problems = [];
  }

  async #do(during: Stage, failed: Stage, work: () => Promise<void>): Promise<boolean> {
    this.stage = during;
    this.progress = 0;
    this.error = null;
    this.problems = [];
    try {
      await work();
      return true;
    } catch (error) {
      shop.noticed(error);
      this.error = error;
      if (error instanceof Problem) this.problems = error.body.problems ?? [];
      this.stage = failed === 'idle' && this.preview ? 'preview' : failed;
      return false;
    }
  }
}
