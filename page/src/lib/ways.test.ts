import { describe, expect, it } from 'vitest';
import { wayTo } from './ways';

describe('the way on from an answer', () => {
  it('is an address of the page', () => {
    expect(wayTo({ to: 'item', text: '', request: '14-07' as never })).toBe('#/item/14-07');
    expect(wayTo({ to: 'ladder', text: '', request: { grade: 'N42' } as never })).toBe(
      `#/ladder?for=${encodeURIComponent('{"grade":"N42"}')}`,
    );
    expect(wayTo({ to: 'tell', text: '', request: { kind: 'tell' } as never })).toBe(
      `#/?enquiry=${encodeURIComponent('{"kind":"tell"}')}`,
    );
  });
});
