// Small helpers for words and figures on the page.
import type { Figure } from './interface';

/** Keeps a number and what follows it on one line: `0.4 mm of paint` breaks only after `mm` and `of`. */
export function glued(text: string): string {
  return text.replace(/(\d) (?=[^\d\s])/g, '$1\u00a0');
}

/** The low end of a range without its unit, as the high end carries it: `30` of `30 N`. */
export function bare({ text, unit }: Figure): string {
  return unit && text.endsWith(unit) ? text.slice(0, -unit.length).trim() : text;
}

/** One sentence end at the end of a sentence. */
export function ended(text: string): string {
  return text === '' || /[.!?]$/.test(text) ? text : `${text}.`;
}

/** A signed loss or gain in words: `−4 %` is `4 % less`. */
export function inWords(change: string): string {
  const bare = change.replace(/^[+−-]\s*/, '');
  if (/^[−-]/.test(change)) return `${bare} less`;
  return change.startsWith('+') ? `${bare} more` : bare;
}

/** An address that may be one below the server's root, as one that can be sent; `here` is that of the page. */
export const whole = (address: string, here: string): string =>
  new URL(address.replace(/^\//, ''), here.replace(/[?#].*$/s, '')).href;

/** A text that begins a line. */
export const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** An exact amount such as `236` with the decimals of its currency at least: `236.00`. */
export function money(amount: string, currency: string): string {
  const { minimumFractionDigits: least = 0 } = new Intl.NumberFormat('en', {
    style: 'currency',
    currency,
  }).resolvedOptions();
  const [units = '', parts = ''] = amount.split('.');
  const decimals = parts.padEnd(least, '0');
  return decimals ? `${units}.${decimals}` : units;
}

/** So many of something: `1 group`, `2 groups`. */
export const times = (count: number, one: string, several: string): string => `${count} ${count === 1 ? one : several}`;
