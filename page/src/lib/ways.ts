// The addresses that an answer leads on to.
import type { NextView } from './interface';
import { hashOf } from './route';

export function wayTo({ to, request }: NextView): string {
  if (to === 'item') return hashOf('item', String(request));
  if (to === 'ladder' || to === 'field' || to === 'parcel' || to === 'bench')
    return hashOf(to, '', { for: JSON.stringify(request) });
  return hashOf('ask', '', { enquiry: JSON.stringify(request) });
}
