// Names that run from the right, of emoji, or of three hundred letters without a gap: no place and no print breaks by them.
import assert from 'node:assert/strict';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { beyond } from './beyond.mjs';
import { launch, open, serve } from './harness.mjs';
import { visitEach } from './visits.mjs';

const NAMES = ['מגנט שטוח חזק', '🧲 red 👩‍👩‍👧 line', 'W'.repeat(300), '=1+1 <b>bold</b>'];
const CODES = NAMES.map((name, at) => `${at}-${name.replaceAll(/[=<>/ ]/g, '').slice(0, 60)}`);

let server, browser, folder, answer, quotation;
before(async () => {
  folder = await mkdtemp(join(tmpdir(), 'names-'));
  [server, browser] = await Promise.all([serve(0, join(folder, 'shop.sqlite')), launch()]);
  const send = async (path, method, body, type = 'application/json') => {
    const said = await fetch(server.address + path, { method, headers: { 'content-type': type }, body });
    const text = await said.text();
    assert.ok(said.ok, `${path}: ${text.slice(0, 600)}`);
    return JSON.parse(text);
  };
  const post = (path, body) => send(path, 'POST', JSON.stringify(body));
  const quoted = (text) => `"${text.replaceAll('"', '""')}"`;
  const lines = NAMES.map((name, at) =>
    [CODES[at], name, `${20 + at} x 5`, 'N42', 'nickel', 900, 1.5, name, name]
      .map((cell) => quoted(String(cell)))
      .join(','),
  );
  const list = ['code,name,size,grade,coating,stock,price 1,note,remark', ...lines].join('\r\n');
  await send('api/shelf/import?name=list.csv&confirmed=true', 'POST', list, 'application/octet-stream');
  const asked = await post('api/ask', { words: 'hold 2 kg hanging below steel, 20 pieces' });
  answer = asked.id;
  await send(`api/answers/${answer}/entry`, 'PATCH', JSON.stringify({ customer: NAMES[2], note: NAMES.join(' ') }));
  const made = { customer: NAMES[2], reference: NAMES[0], note: NAMES.join(' '), terms: NAMES[2], lines: [{ answer }] };
  quotation = (await post('api/quotations', made)).number;
  const head = `+++\ntopic = "odd"\ntitle = "${NAMES[2]}"\ntext = "${NAMES.join(' ')}"\nminutes = 1\nsay = "${NAMES[0]}"\n+++\n`;
  const bars = NAMES.map((name) => `  { label = "${name}", figure = "pull" },`).join('\n');
  const chart = `\n## ${NAMES[2]}\n\n\`\`\`chart\nkind = "bars"\ntitle = "${NAMES[1]}"\nbars = [\n${bars}\n]\n\`\`\`\n\n${NAMES[2]}\n`;
  await post('api/lessons', { text: head + chart });
});
after(async () => {
  await browser?.close();
  await server?.stop();
  await rm(folder, { recursive: true, force: true });
});

const encoded = (value) => encodeURIComponent(JSON.stringify(value));
const magnets = () => CODES.map((code) => ({ code }));
const places = {
  shelf: () => ['#/shelf', 'main tbody tr'],
  item: () => [`#/item/${encodeURIComponent(CODES[2])}`, '[role=slider]'],
  'item from the right': () => [`#/item/${encodeURIComponent(CODES[0])}`, '[role=slider]'],
  answer: () => [`#/answer/${answer}`, '[role=slider]'],
  tell: () => [`#/?enquiry=${encoded({ kind: 'tell', magnets: [{ code: CODES[2] }] })}`, '.answer dl'],
  compare: () => [`#/?enquiry=${encoded({ kind: 'compare', about: ['pull'], magnets: magnets() })}`, '.answer table'],
  parcel: () => [
    `#/parcel?for=${encoded({ lines: magnets().map((magnet) => ({ magnet, count: 20 })) })}`,
    '.answer table',
  ],
  quotation: () => [`#/quotation/${quotation}`, '.prices'],
  quotations: () => ['#/quotation', 'main h1'],
  lessons: () => ['#/lessons', 'main li a'],
  lesson: () => ['#/lessons/odd', '.chart'],
  desk: () => ['#/desk', 'main li'],
};

for (const [what, width, media] of [
  ['on a wide screen', 1180, 'screen'],
  ['on a phone', 360, 'screen'],
  ['on A4', 680, 'print'],
  ['on Letter', 702, 'print'],
])
  test(`odd names break no place ${what}`, async () => {
    const window = await open(browser, { width });
    const { page } = window;
    await page.emulateMedia({ media });
    const wrong = [];
    await visitEach(page, server.address, places, async (_, name) => {
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      const parts = over > 0 || media === 'print' ? await page.evaluate(beyond) : [];
      if (over > 0 || parts.length > 0)
        wrong.push(`${name} sticks out by ${over} px: ${parts.slice(0, 4).join(' | ')}`);
      if (process.env.PICTURES_FOLDER)
        await page.screenshot({
          path: join(process.env.PICTURES_FOLDER, `names-${width}-${name}.png`),
          fullPage: true,
        });
    });
    assert.deepEqual(wrong, []);
    assert.equal(await page.locator('main b >> text=bold').count(), 0, 'what looks like HTML stays text');
    assert.deepEqual(window.faults, []);
    await window.close();
  });
