// The share of each cause in a band, ready to be drawn: largest first, the crumbs swept together.
import type { ShareView } from './interface';

export interface Part extends ShareView {
  percent: string;
}

const CRUMB = 0.03;
const MOST = 5;

export function parts(shares: ShareView[]): Part[] {
  const total = shares.reduce((sum, { share }) => sum + Math.max(0, share), 0);
  if (!(total > 0)) return [];
  const sorted = shares
    .map((one) => ({ ...one, share: Math.max(0, one.share) / total }))
    .sort((a, b) => b.share - a.share);
  const named = sorted.filter(({ share }, index) => share >= CRUMB && index < MOST);
  const crumbs = sorted.filter((one) => !named.includes(one));
  const rest = crumbs.reduce((sum, { share }) => sum + share, 0);
  if (rest > 0)
    named.push({
      cause: crumbs.length === 1 ? (crumbs[0]?.cause ?? '') : 'the rest',
      text: crumbs.length === 1 ? (crumbs[0]?.text ?? '') : '',
      share: rest,
    });
  return named.map((one) => ({ ...one, percent: one.share < 0.01 ? 'under 1 %' : `${Math.round(one.share * 100)} %` }));
}
