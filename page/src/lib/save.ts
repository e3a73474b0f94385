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
  'vector-effect',
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
  // A drawing may begin anywhere.
  for (const side of ['x', 'y', 'width', 'height'] as const) paper.setAttribute(side, String(box[side]));
  paper.setAttribute('fill', getComputedStyle(document.body).backgroundColor);
  copy.prepend(paper);
  return new XMLSerializer().serializeToString(copy);
}

/** Dots of a picture for each pixel of the drawing: fine enough for print. */
const DOTS = 3;
/** No side of a picture has more dots: browsers make none that are larger. */
const MOST_DOTS = 8000;

/** Width and height of a drawing in dots, by its `viewBox`. */
export function dotsOf(svg: string): [number, number] {
  const box =
    /viewBox="([^"]+)"/
      .exec(svg)?.[1]
      ?.trim()
      .split(/[\s,]+/)
      .map(Number) ?? [];
  const [width = 0, height = 0] = box.slice(2);
  if (!(width > 0 && height > 0)) return [0, 0];
  // What is given in millimetres or less is drawn as large as a chart.
  const scale = Math.min(Math.max(DOTS, 1200 / width), MOST_DOTS / Math.max(width, height));
  return [Math.round(width * scale), Math.round(height * scale)];
}

/** The drawing as a picture of dots. */
export async function pngOf(svg: string): Promise<Blob> {
  const [width, height] = dotsOf(svg);
  const canvas = document.createElement('canvas');
  [canvas.width, canvas.height] = [width, height];
  const source = URL.createObjectURL(new Blob([svg], { type: 'image/svg+xml' }));
  try {
    const image = new Image(width, height);
    image.src = source;
    await image.decode();
    canvas.getContext('2d')?.drawImage(image, 0, 0, width, height);
  } finally {
    URL.revokeObjectURL(source);
  }
  return new Promise((resolve, reject) =>
    canvas.toBlob((blob) => (blob ? resolve(blob) : reject(new Error('no picture was made'))), 'image/png'),
  );
}

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
