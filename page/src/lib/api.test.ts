import { describe, expect, it } from 'vitest';
import { address, problemFrom } from './api';

describe('address', () => {
  it('leaves out what is not set and escapes the rest', () => {
    expect(address('shelf', { search: 'a&b', shape: '', offset: 0, sheet: undefined })).toBe(
      'api/shelf?search=a%26b&offset=0',
    );
    expect(address('shop')).toBe('api/shop');
  });
});

describe('problemFrom', () => {
  it('reads a problem and fills what it leaves out', () => {
    const { body } = problemFrom(422, '{"title":"t","detail":"d","problems":[]}');
    expect(body).toEqual({ title: 't', detail: 'd', status: 422, field: null, span: null, hint: null, problems: [] });
  });
  it.each(['<html>Bad gateway</html>', '', '{"other":1}', '[]'])('makes one of %j', (text) => {
    expect(problemFrom(502, text).body.detail).toContain('502');
  });
});
