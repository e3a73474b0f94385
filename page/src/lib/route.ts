// The places of the page and their addresses after the #.
import type { Subject } from './interface';

export type Place =
  | 'ask'
  | 'answer'
  | 'ladder'
  | 'field'
  | 'bench'
  | 'lessons'
  | 'item'
  | 'shelf'
  | 'desk'
  | 'quotation'
  | 'parcel'
  | 'paper'
  | 'design'
  | 'lost';

export interface Route {
  place: Place;
  /** What the place shows: an answer's id or an item's code. */
  key: string;
  params: Record<string, string>;
}

function decode(text: string): string {
  try {
    return decodeURIComponent(text.replaceAll('+', ' '));
  } catch {
    return text;
  }
}

export function parseRoute(hash: string): Route {
  const [path = '', query = ''] = hash.replace(/^#\/?/, '').split(/\?(.*)/s);
  const [head = '', ...rest] = path.split('/').filter(Boolean).map(decode);
  const params: Record<string, string> = {};
  for (const pair of query.split('&').filter(Boolean)) {
    const [name = '', value = ''] = pair.split(/=(.*)/s);
    params[decode(name)] = decode(value);
  }
  const key = rest.join('/');
  if (head === '') return { place: 'ask', key: '', params };
  if (['answer', 'item', 'bench', 'paper'].includes(head) && key) return { place: head as Place, key, params };
  // These have a list or an empty form where no name is given.
  if (head === 'lessons' || head === 'quotation') return { place: head, key, params };
  if (['ladder', 'field', 'bench', 'shelf', 'desk', 'parcel', 'design'].includes(head) && !key)
    return { place: head as Place, key: '', params };
  return { place: 'lost', key: path, params };
}

/** The address of a place; parameters that are empty are left out. */
export function hashOf(place: Exclude<Place, 'lost'>, key = '', params: Record<string, unknown> = {}): string {
  const path = place === 'ask' ? '#/' : key ? `#/${place}/${encodeURIComponent(key)}` : `#/${place}`;
  const query = Object.entries(params)
    .filter(([, value]) => value !== '' && value !== null && value !== undefined)
    .map(([name, value]) => `${name}=${encodeURIComponent(String(value))}`)
    .join('&');
  return query ? `${path}?${query}` : path;
}

/** The address of the place that shows what a paper is of, on today's shelf. */
export function placeOf(of: Subject): string {
  switch (of.kind) {
    case 'item':
      return hashOf('item', of.code);
    case 'lesson':
      return hashOf('lessons', of.name);
    case 'told':
      return hashOf('ask', '', { enquiry: JSON.stringify(of.enquiry) });
    case 'answer':
      return hashOf('answer', of.id);
    case 'quotation':
      return hashOf('quotation', of.number, { issue: of.issue });
    case 'ladder':
    case 'parcel':
      return hashOf(of.kind, '', { for: JSON.stringify(of.request) });
  }
}
