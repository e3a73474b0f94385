// A reply on its way out of the page.

const SIGNS: Record<string, string> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Plain text as paragraphs of HTML. */
export function htmlOf(text: string): string {
  return text
    .trim()
    .split(/\n{2,}/)
    .map((part) => `<p>${part.replace(/[&<>"]/g, (sign) => SIGNS[sign] ?? sign).replaceAll('\n', '<br>\n')}</p>\n`)
    .join('');
}

/** The address that opens the mail program with a message (RFC 6068: lines end with CR LF). */
export function mailAddress(subject: string, text: string): string {
  const part = (value: string) => encodeURIComponent(value.replace(/\r?\n/g, '\r\n'));
  return `mailto:?subject=${part(subject)}&body=${part(text)}`;
}
