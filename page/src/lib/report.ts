// An answer as plain text to send.
import type { AnswerSheet, CandidateView, Run } from './interface';

export const plain = (runs: Run[]): string => runs.map(({ text }) => text).join('');

function candidateLine(one: CandidateView): string {
  const { title, code, part, value, range, cost_each, margin, stock, verdict } = one;
  const codes = part ? `${code} with ${part.code}` : code;
  const price = cost_each ? `, ${cost_each} each` : '';
  const sure = verdict === 'sure' ? '' : ', only at its typical value';
  const steel = part ? `; bare ${part.bare.text}. ${part.loses}` : '';
  return `- ${title} (${codes}): ${value.text}, band ${range}, margin ${margin}${price}, ${stock}${sure}${steel}`;
}

/** The whole answer in words, for a letter. */
export function answerText(answer: AnswerSheet): string {
  const parts: string[] = [answer.words, ''];
  parts.push(plain(answer.lead));
  if (answer.shortfall) {
    parts.push(...answer.shortfall.would_do.map((runs) => `- ${plain(runs)}`));
    if (answer.shortfall.ceiling) parts.push(plain(answer.shortfall.ceiling));
  }
  parts.push('', ...answer.because.map((runs) => `because ${plain(runs)}`));
  if (answer.widens.length > 0) parts.push(`main sources of uncertainty: ${plain(answer.widens)}`);
  parts.push(...answer.assumed.map(plain));
  if (answer.candidates.length > 0) parts.push('', `${answer.heading}:`, ...answer.candidates.map(candidateLine));
  if (answer.stated.length > 0)
    parts.push(
      '',
      'Also sold, by the maker’s stated pull:',
      ...answer.stated.map(
        ({ title, pull, need, remark }) => `- ${title}: ${pull.text} stated where ${need.text} is needed. ${remark}`,
      ),
    );
  if (answer.near_misses.length > 0)
    parts.push('', 'Near misses:', ...answer.near_misses.map(({ title, runs }) => `- ${title}: ${plain(runs)}`));
  if (answer.cautions.length > 0)
    parts.push(
      '',
      'Cautions:',
      ...answer.cautions.map(({ runs, rule }) => `- ${plain(runs)}${rule ? ` (${rule})` : ''}`),
    );
  parts.push('', `Shelf revision ${answer.revision}, lodewright ${answer.version}, ${answer.asked_at.slice(0, 10)}`);
  return parts.join('\n').replace(/\n{3,}/g, '\n\n');
}

/** "25 November 2026" in the reader's own manner. */
export function day(iso: string): string {
  const date = new Date(iso);
  return Number.isNaN(date.getTime())
    ? iso
    : date.toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
}
