// Taking things away: files, pictures, the clipboard.

export function saveFile(name: string, type: string, content: BlobPart): void {
  const address = URL.createObjectURL(new Blob([content], { type }));
  const link = document.createElement('a');
  link.href = address;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}

/** One CSV text. Cells are quoted where they must be; a cell that a sheet would run as a formula is disarmed. */
export function csv(rows: string[][]): string {
  const cell = (text: string): string => {
    const safe = /^[=+@\t\r]|^-(?![\d.])/.test(text) ? `'${text}` : text;
    return /[",\n\r]/.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
  };
  return rows.map((row) => row.map(cell).join(',')).join('\r\n') + '\r\n';
}

export const saveCsv = (name: string, rows: string[][]) =>
  saveFile(name, 'text/csv;charset=utf-8', `\uFEFF${csv(rows)}`);

/** Resolves to whether the text is on the clipboard; the old way serves pages without a secure origin. */
export async function copy(text: string): Promise<boolean> {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    const area = document.createElement('textarea');
    area.value = text;
    area.style.position = 'fixed';
    document.body.append(area);
    area.select();
    const done = document.execCommand('copy');
    area.remove();
    return done;
  }
}

/** As `copy`, with the same as HTML for programs that take it. */
export async function copyRich(text: string, html: string): Promise<boolean> {
  try {
    const part = (type: string, content: string) => ({ [type]: new Blob([content], { type }) });
    await navigator.clipboard.write([new ClipboardItem({ ...part('text/plain', text), ...part('text/html', html) })]);
    return true;
  } catch {
    return copy(text);
  }
}

const KEPT = [
  'fill',
  'fill-opacity',
  'stroke',
  'stroke-opacity',
  'stroke-width',
  'stroke-dasharray',
  'paint-order',
  'font-family',
  'font-size',
  'font-style',
  'font-weight',
  'text-anchor',
];

/** The picture as a file that needs nothing else: styles as they are on screen, on paper of the same colour. */
export function svgText(svg: SVGSVGElement): string {
  const copy = svg.cloneNode(true) as SVGSVGElement;
  const originals = [svg, ...svg.querySelectorAll('*')];
  const copies = [copy, ...copy.querySelectorAll('*')];
  originals.forEach((original, index) => {
    const target = copies[index];
    if (!target) return;
    const style = getComputedStyle(original);
    for (const name of KEPT) {
      const value = style.getPropertyValue(name);
      // Fills by pattern stay as the attribute says.
      if (value && !value.includes('url(')) target.setAttribute(name, value);
    }
    target.removeAttribute('class');
    target.removeAttribute('tabindex');
  });
  const box = svg.viewBox.baseVal;
  copy.setAttribute('xmlns', 'http://www.w3.org/2000/svg');
  copy.setAttribute('width', String(box.width));
  copy.setAttribute('height', String(box.height));
  const paper = document.createElementNS('http://www.w3.org/2000/svg', 'rect');
  paper.setAttribute('width', '100%');
  paper.setAttribute('height', '100%');
  paper.setAttribute('fill', getComputedStyle(document.body).backgroundColor);
  copy.prepend(paper);
  return new XMLSerializer().serializeToString(copy);
}

export const saveSvg = (name: string, svg: SVGSVGElement) => saveFile(name, 'image/svg+xml', svgText(svg));

/** A file name out of a title. */
export function fileName(title: string, ending: string): string {
  const stem = title
    .normalize('NFKD')
    .replace(/[×x]/g, 'x')
    .replace(/[^\w.]+/g, '-')
    .replace(/^[-.]+|[-.]+$/g, '')
    .toLowerCase();
  return `${stem.slice(0, 60) || 'lodewright'}.${ending}`;
}
