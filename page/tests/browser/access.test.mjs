// Every place, light and dark, wide and narrow: axe finds nothing, nothing sticks out, paper gets all of it.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { after, before, test } from 'node:test';
import { beyond } from './beyond.mjs';
import { answered, asking, EXAMPLE, launch, open, serve } from './harness.mjs';
import { visitEach } from './visits.mjs';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

let server, browser, item, answer, link;
before(async () => {
  [server, browser] = await Promise.all([serve(), launch()]);
  const shelf = await (await fetch(`${server.address}api/shelf?limit=1`)).json();
  item = shelf.items[0].code;
  const words = { words: EXAMPLE };
  const kept = await fetch(`${server.address}api/ask`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify(words),
  });
  answer = (await kept.json()).id;
  const sent = await fetch(`${server.address}api/links`, {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ kind: 'lesson', name: 'gap' }),
  });
  link = (await sent.json()).id;
  const send = (path, method, body) =>
    fetch(`${server.address}api/bench/${path}`, {
      method,
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    });
  const probe = await (await fetch(`${server.address}api/bench/probes/start`)).json();
  await send('probes/pen', 'PUT', probe);
  await send('sessions', 'POST', { id: 'access', magnet: { code: item }, lot: 'A', probe: 'pen' });
  for (const [k, value] of [300, 301, 299, 250, 300.5].entries())
    await send('sessions/access/readings', 'POST', { id: `access${k}`, value: `${value} mT` });
});
after(async () => {
  await browser?.close();
  await server?.stop();
});

const places = {
  empty: () => ['', 'textarea'],
  ask: () => [asking(''), '[role=slider]'],
  answer: () => [`#/answer/${answer}`, '[role=slider]'],
  ladder: () => ['#/ladder', 'g.rung'],
  field: () => ['#/field', '.frame svg'],
  steel: () => [`#/field?for=${encodeURIComponent('{"kind":"on_steel"}')}`, '.picture svg'],
  tell: () => [
    `#/?enquiry=${encodeURIComponent(JSON.stringify({ kind: 'tell', magnets: [{ code: item }] }))}`,
    '.answer dl',
  ],
  compare: () => [
    `#/?enquiry=${encodeURIComponent(JSON.stringify({ kind: 'compare', about: ['pull'], magnets: [{ code: item }, { shape: 'disc', size_mm: [20, 5], grade: 'N42' }] }))}`,
    '.answer table',
  ],
  explain: () => [`#/?enquiry=${encodeURIComponent('{"kind":"explain","about":["thin_sheet"]}')}`, '.answer .lead'],
  refuse: () => [`#/?enquiry=${encodeURIComponent('{"kind":"refuse","reason":"not_magnetic"}')}`, '.answer .lead'],
  bench: () => ['#/bench', '.begin'],
  session: () => ['#/bench/access', '.part .lead'],
  certificate: () => ['#/bench/access?paper=', 'article h1'],
  item: () => [`#/item/${item}`, '[role=slider]'],
  shelf: () => ['#/shelf', 'main tbody tr'],
  desk: () => ['#/desk', 'main li'],
  lessons: () => ['#/lessons', 'main li a'],
  lesson: () => ['#/lessons/gap', '.chart'],
  design: () => [`#/design?wish=${encodeURIComponent('40 N across 2 mm in a space of 20 x 10 mm')}`, '.drafts li'],
  quotation: () => ['#/quotation', 'main h1'],
  parcel: () => [
    `#/parcel?for=${encodeURIComponent(JSON.stringify({ lines: [{ magnet: { code: item }, count: 200 }], arrangement: 'rings' }))}`,
    '.answer table',
  ],
  paper: () => [`#/paper/${link}`, '.address'],
  lost: () => ['#/nowhere', 'main h1'],
};

async function violations(page) {
  await page.evaluate(axe);
  const found = await page.evaluate(() => globalThis.axe.run(document, { resultTypes: ['violations'] }));
  return found.violations.map(({ id, nodes }) => `${id}: ${nodes.map(({ target }) => target.join(' ')).join(', ')}`);
}

for (const theme of ['light', 'dark'])
  for (const width of [1180, 360])
    test(`${theme} at ${width}`, async () => {
      const window = await open(browser, { theme, width });
      await visitEach(window.page, server.address, places, async (page, name) => {
        assert.deepEqual(await violations(page), [], name);
        const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        assert.ok(over <= 0, `${name} sticks out by ${over} px`);
      });
      assert.deepEqual(window.faults, []);
      await window.close();
    });

test('open editors, dialogs and refusals are accessible too', async () => {
  const window = await open(browser);
  const { page } = window;
  await page.goto(asking(server.address));
  await answered(page);
  for (const path of ['/need/load', '/need/direction', '/need/steel', '/need/layers', '/pieces']) {
    await page.click(`[data-path="${path}"]`);
    await page.waitForSelector('.panel');
    assert.deepEqual(await violations(page), [], path);
    await page.keyboard.press('Escape');
    await page.waitForSelector('.box .panel', { state: 'detached' });
  }
  await page.click('.help');
  assert.deepEqual(await violations(page), [], 'help');
  await window.close();
});

test('motion is stilled for those who ask, and the page prints', async () => {
  const window = await open(browser);
  await window.page.emulateMedia({ reducedMotion: 'reduce' });
  await window.page.goto(asking(server.address));
  await answered(window.page);
  const moving = await window.page.evaluate(
    () => getComputedStyle(document.querySelector('.answer')).transitionDuration,
  );
  assert.equal(moving, '0s');
  await window.page.emulateMedia({ media: 'print' });
  assert.equal(await window.page.isVisible('nav'), false);
  assert.ok((await window.page.pdf({ format: 'A4' })).length > 10_000);
  await window.close();
});

// Inside the margins of the style sheet, at 96 dots an inch.
for (const [format, width] of [
  ['A4', 680],
  ['Letter', 702],
])
  test(`every place prints whole on ${format}`, async () => {
    const window = await open(browser);
    const wrong = [];
    await visitEach(window.page, server.address, places, async (page, name) => {
      await page.emulateMedia({ media: 'print' });
      await page.setViewportSize({ width, height: 1000 });
      wrong.push(...(await page.evaluate(beyond)).slice(0, 4).map((part) => `${name}: ${part}`));
      const pdf = await page.pdf({ format });
      assert.equal(pdf.subarray(0, 5).toString(), '%PDF-', name);
      await page.emulateMedia({ media: 'screen' });
      await page.setViewportSize({ width: 1180, height: 900 });
    });
    assert.deepEqual(wrong, []);
    await window.close();
  });
