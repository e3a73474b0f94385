// Bringing in a price list: choose, look at what would happen, do it, take it back.
import { api, importFile, preview, Problem, type ReadOptions } from './api';
import type { ImportProblem, Outcome, Preview } from './interface';
import { shop } from './shop.svelte';

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
  options = $state<ReadOptions>({ length_unit: '', decimal: '', sheet: '' });
  /** Whether what would be lost has been seen and is wanted. */
  confirmed = $state(false);

  async choose(file: File): Promise<void> {
    this.file = file;
    this.options = { length_unit: '', decimal: '', sheet: '' };
    await this.read();
  }

  /** Reads the file, again after an option changed. */
  async read(): Promise<void> {
    const file = this.file;
    if (!file) return;
    this.confirmed = false;
    await this.#do('reading', 'idle', async () => {
      this.preview = await preview(file, { ...this.options }, (share) => (this.progress = share));
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
