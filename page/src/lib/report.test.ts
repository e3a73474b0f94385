import { describe, expect, it } from 'vitest';
import type { AnswerSheet } from './interface';
import { answerText, day } from './report';

const shown = (value: number, text: string) => ({ value, unit: 'N', text });
const axis = { label: '', unit: '' };
const answer: AnswerSheet = {
  id: 'k1',
  first: null,
  asked_at: '2026-11-25T10:00:00Z',
  revision: 12,
  version: '0.1.0',
  stale: false,
  question: { need: { verb: 'hold', load: '2 kg' } },
  words: 'hold 2 kg',
  understood: null,
  verb: 'hold',
  sentence: [],
  more: [],
  assumed: [[{ text: 'safety factor 2 assumed' }]],
  lead: [{ text: 'One disc of ' }, { text: '15 × 5 mm', strong: true }, { text: '.' }],
  because: [[{ text: 'the paint takes 35 %' }]],
  widens: [{ text: 'the grade' }],
  heading: 'What comes nearest, cheapest first',
  need: { at_least: shown(29.4, '29.4 N'), ceiling: null, text: '' },
  candidates: [
    {
      index: 0,
      code: '14-07',
      title: 'one disc',
      part: null,
      remark: '',
      verdict: 'middle',
      silhouette: { shape: 'disc', width_mm: 15, height_mm: 5, pieces: 1, hole_mm: 0, pair: null },
      value: shown(34, '34 N'),
      low: shown(28, '28 N'),
      high: shown(39, '39 N'),
      range: '28 to 39 N',
      margin: '−5 %',
      chance: '80 % of pieces',
      cost_each: null,
      cost_total: null,
      cost_note: '',
      size: '15 mm wide, 5 mm high, 6.6 g',
      mass: shown(6.6, '6.6 g'),
      stock: 'stock not listed',
      unbeaten: true,
      because: [],
      method: 'first order, JCGM 100',
      shares: [],
      swings: [],
      cautions: [],
    },
  ],
  stated: [],
  near_misses: [],
  shortfall: null,
  cautions: [
    {
      runs: [{ text: 'Pinches.' }],
      rule: 'a rule',
      severity: 'harm',
      short: 'Pinches.',
      rank: 1,
      about: 'fingers',
      leads: true,
    },
  ],
  searched: '',
  with_parts: null,
};

describe('an answer as text', () => {
  const text = answerText(answer);
  it('says question, answer, reasons, candidates and cautions with their rules', () => {
    for (const part of [
      'hold 2 kg',
      'One disc of 15 × 5 mm.',
      'because the paint',
      'safety factor 2',
      '14-07',
      'only at its typical value',
      'Pinches. (a rule)',
      'revision 12',
    ])
      expect(text).toContain(part);
  });
  it('leaves no hole where there is nothing to say', () => {
    expect(text).not.toMatch(/\n{3}|undefined|null/);
  });
  it('lists a build with a steel part among the others', () => {
    const part = {
      code: 'cup',
      bare: shown(21, '21 N'),
      adds: [],
      loses: 'Half of what it adds is gone at 0.2 mm.',
      compared: '',
      plot: { title: '', x: axis, y: axis, curves: [], marks: [], stretches: [], remark: '' },
    };
    const whole = answerText({ ...answer, candidates: answer.candidates.map((one) => ({ ...one, part })) });
    for (const said of ['14-07 with cup', 'bare 21 N', 'gone at 0.2 mm']) expect(whole).toContain(said);
    expect(text).not.toContain('bare');
  });
  it('says what would do instead', () => {
    const short = answerText({
      ...answer,
      shortfall: {
        would_do: [[{ text: 'four of them' }]],
        ceiling: [{ text: 'No more than 160 N.' }],
      },
    });
    for (const part of ['- four of them', 'No more than 160 N.']) expect(short).toContain(part);
  });
});

it('writes a day, or what it was given', () => {
  expect(day('2026-11-25T10:00:00Z')).toBe('25 November 2026');
  expect(day('soon')).toBe('soon');
});

describe('one number', () => {
  const candidate = answer.candidates[0]!;
  it('is in the copied text as in the list', () => {
    expect(answerText(answer)).toContain(
      `${candidate.title} (${candidate.code}): ${candidate.value.text}, band ${candidate.range}, margin ${candidate.margin}`,
    );
  });
});
