// Small helpers for words and figures on the page.

/** Keeps a number and what follows it on one line: `0.4 mm of paint` breaks only after `mm` and `of`. */
export function glued(text: string): string {
  return text.replace(/(\d) (?=[^\d\s])/g, '$1\u00a0');
}

/** A signed loss or gain in words: `−4 %` is `4 % less`. */
export function inWords(change: string): string {
  const bare = change.replace(/^[+−-]\s*/, '');
  if (/^[−-]/.test(change)) return `${bare} less`;
  return change.startsWith('+') ? `${bare} more` : bare;
}
