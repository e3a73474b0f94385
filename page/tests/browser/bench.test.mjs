// The bench: readings typed fast while the server is killed and started again, none lost, none doubled; the same figures as the interface.
import assert from 'node:assert/strict';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { launch, open, serve } from './harness.mjs';

let server, browser, folder;
const shop = () => join(folder, 'shop.sqlite');
before(async () => {
  folder = await mkdtemp(join(tmpdir(), 'bench-'));
  [server, browser] = await Promise.all([serve(0, shop()), launch()]);
});
after(async () => {
  await browser?.close();
  await server?.stop();
  await rm(folder, { recursive: true, force: true });
});

const call = async (path, method = 'GET', body) => {
  const response = await fetch(`${server.address}api/${path}`, {
    method,
    headers: { 'content-type': 'application/json' },
    body: body && JSON.stringify(body),
  });
  const text = await response.text();
  return text ? JSON.parse(text) : null;
};
const view = (id) => call(`bench/sessions/${id}`);

/** A probe, and a session of a disc that is on no shelf. */
async function begun(id) {
  const start = await call('bench/probes/start');
  await call('bench/probes/pen', 'PUT', { ...start, name: 'pen' });
  const magnet = { shape: 'disc', size_mm: [10, 3], grade: 'N42' };
  await call('bench/sessions', 'POST', { id, magnet, lot: 'B-118', probe: 'pen' });
}

const type = async (page, value) => {
  await page.keyboard.type(value);
  await page.keyboard.press('Enter');
};

test('an empty bench asks for a probe, then a magnet, and begins', async () => {
  const { page, faults, close } = await open(browser);
  await page.goto(`${server.address}#/bench`);
  await page.getByRole('button', { name: 'Keep the probe' }).click();
  await page.getByRole('button', { name: 'a size that is not on the shelf' }).click();
  await page.getByLabel('Size in mm and grade').fill('10 x 3 N42');
  await page.getByRole('button', { name: 'take it' }).click();
  await page.getByLabel('Name of the lot').fill('A-1');
  await page.getByRole('button', { name: 'Begin to read' }).click();
  await page.waitForSelector('.says b');
  assert.match(await page.textContent('.says'), /Expected/);
  await page.waitForFunction(() => document.activeElement?.matches('.big input'));
  await type(page, '255.5');
  await page.waitForSelector('.list li .say');
  assert.match(await page.textContent('.list li .value'), /255\.5/);
  // The number pad alone: two pieces, the north pole, on a spacer; and the last one taken back.
  for (const key of ['+', '/', '*']) await page.keyboard.press(key);
  await page.waitForFunction(() => /two pieces, on 0\.5/.test(document.querySelector('.says')?.textContent ?? ''));
  assert.match(await page.textContent('.says .small'), /pole N/);
  await page.keyboard.press('Backspace');
  await page.waitForFunction(() => document.querySelectorAll('.list li').length === 0);
  await page.getByRole('button', { name: 'Undo', exact: true }).click();
  await page.waitForFunction(() => document.querySelectorAll('.list li').length === 1);
  // What is no number is not taken.
  await page.locator('.big input').fill('tall');
  await page.keyboard.press('Enter');
  assert.match(await page.textContent('.said'), /number/);
  assert.deepEqual(faults, []);
  await close();
});

/** With `LODEWRIGHT_BENCH_MINUTES=10` a reading a second for ten minutes; else sixty readings typed fast. */
const minutes = Number(process.env.LODEWRIGHT_BENCH_MINUTES ?? 0);
const count = minutes > 0 ? Math.round(60 * minutes) : 60;
const [killed, begunAgain] = minutes > 0 ? [count / 2, count / 2 + 20].map(Math.round) : [20, 40];

// What hangs is a failure with a name, five minutes after what it should take.
const patience = { timeout: (minutes + 5) * 60_000 };

test(
  `${count} readings typed while the server is killed and started again: none lost, none doubled`,
  patience,
  async () => {
    await begun('fast');
    const { page, close } = await open(browser);
    await page.goto(`${server.address}#/bench/fast`);
    await page.waitForSelector('.says b');
    await page.locator('.big input').focus();
    const values = Array.from({ length: count }, (_, k) =>
      (250 + (k % 60) / 10 + Math.floor(k / 60) / 1000).toFixed(3),
    );
    const since = Date.now();
    for (const [k, value] of values.entries()) {
      if (k === killed) await server.stop('SIGKILL');
      if (k === begunAgain) server = await serve(server.port, shop());
      await type(page, value);
      if (minutes > 0) await page.waitForTimeout(Math.max(0, since + 1000 * (k + 1) - Date.now()));
      else await page.waitForTimeout(k % 10 === 0 ? 150 : 20);
      if (k === Math.round((killed + begunAgain) / 2)) {
        await page.waitForSelector('.waits');
        assert.match(await page.textContent('.waits'), /wait.* to be sent/);
      }
    }
    if (minutes > 0) console.log(`${count} readings in ${((Date.now() - since) / 1000).toFixed(0)} s`);
    await page.waitForFunction(() => !document.querySelector('.waits'), null, { timeout: 120_000 });
    const saved = (await view('fast')).rows.map(({ value }) => value.value.toFixed(3)).reverse();
    assert.deepEqual(saved, values);
    const earlier = `${count - 8} earlier`;
    await page.waitForFunction((text) => document.querySelector('.more')?.textContent?.includes(text), earlier, {
      timeout: 60_000,
    });
    await close();
  },
);

test('a page that is left while the server is away sends its readings when it is opened again', async () => {
  await begun('left');
  const window = await open(browser);
  const { page } = window;
  await page.goto(`${server.address}#/bench/left`);
  await page.waitForSelector('.says b');
  await page.locator('.big input').focus();
  await type(page, '251');
  await page.waitForFunction(() => document.querySelectorAll('.list li .say').length === 1);
  const port = server.port;
  await server.stop('SIGKILL');
  await type(page, '252');
  await type(page, '253');
  await page.waitForSelector('.waits');
  await page.close();
  server = await serve(port, shop());
  const again = await window.context.newPage();
  await again.goto(`${server.address}#/bench/left`);
  await again.waitForFunction(() => document.querySelectorAll('.list li').length === 3, null, { timeout: 30_000 });
  const saved = (await view('left')).rows.map(({ value }) => value.value);
  assert.deepEqual(
    saved.map((value) => Math.round(value)),
    [253, 252, 251],
  );
  await window.close();
});

test('the page shows the figures of the interface: rows, what was found, the grade and the lot', async () => {
  await begun('same');
  for (const [k, value] of [256, 254.5, 257, 255, 254, 220, 256.5].entries())
    await call('bench/sessions/same/readings', 'POST', { id: `same${k}`, value: `${value} mT` });
  const { page, faults, close } = await open(browser);
  await page.goto(`${server.address}#/bench/same`);
  await page.waitForSelector('.part .lead');
  const told = await view('same');
  const says = await page.locator('.list li .say').allTextContents();
  assert.deepEqual(
    says.map((text) => text.trim()),
    told.rows.map((row) => row.says),
  );
  const { found } = await call('bench/sessions/same/found');
  const plain = (text) => text.replace(/\s+/g, ' ').trim();
  assert.equal(plain(await page.textContent('.part .lead')), plain(found.lead.map(({ text }) => text).join('')));
  // The odd one is left out; counted, it is not.
  const odd = page.locator('.list li.aside');
  assert.match(await odd.textContent(), /220.*left out/is);
  await page.getByRole('button', { name: /^count it: 220/ }).click();
  await page.waitForFunction(() => !document.querySelector('.list li.aside'));
  assert.equal((await view('same')).left_out, 0);
  // Keeping names where it comes from, and can be undone.
  await page.getByRole('button', { name: /^keep .*effective remanence/ }).click();
  await page.waitForFunction(() => /Kept:/.test(document.querySelector('p.bar')?.textContent ?? ''));
  assert.equal((await call('bench')).kept.length, 1);
  await page.getByRole('button', { name: 'Undo', exact: true }).click();
  await page.waitForTimeout(300);
  assert.equal((await call('bench')).kept.length, 0);
  await page.getByText('What grade is it?').click();
  await page.waitForSelector('.grades li');
  const grades = (await call('bench/sessions/same/grade')).grades.length;
  assert.equal(await page.locator('.grades li').count(), grades);
  await page.getByText('Receiving the lot').click();
  await page.waitForSelector('.verdict');
  assert.match(await page.textContent('.insp'), /7 of 50/);
  await page.getByRole('link', { name: 'the certificate' }).click();
  await page.waitForSelector('article h1');
  assert.match(await page.textContent('article'), /B-118/);
  assert.deepEqual(faults, []);
  await close();
});

test('a file comes in whole or not at all', async () => {
  await begun('file');
  const { page, close } = await open(browser);
  await page.goto(`${server.address}#/bench/file`);
  await page.waitForSelector('.empty');
  const give = (text) =>
    page.setInputFiles('input[type=file]', { name: 'r.csv', mimeType: 'text/csv', buffer: Buffer.from(text) });
  await give('value,pieces\n255 mT,1\nnothing,1\n');
  await page.waitForSelector('.problem');
  assert.equal((await view('file')).count, 0);
  await give('value,pieces\n255 mT,1\n340 mT,2\n');
  await page.waitForFunction(() => document.querySelectorAll('.list li .say').length === 2);
  await close();
});

/** Pastes a text into the box, as from a spreadsheet. */
const paste = (page, text) =>
  page.locator('.big input').evaluate((input, text) => {
    const clipboardData = new DataTransfer();
    clipboardData.setData('text', text);
    input.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }));
  }, text);

test('figures and tables are pasted, a remark goes with a reading, and a pull is from its plate', async () => {
  await begun('pasted');
  const { page, faults, close } = await open(browser);
  await page.goto(`${server.address}#/bench/pasted`);
  await page.waitForSelector('.says b');
  const count = async (wanted) => {
    await page.waitForFunction((n) => document.querySelectorAll('.list li').length === n, wanted);
    await page.waitForFunction(() => !document.querySelector('.waits'));
    return (await view('pasted')).rows;
  };
  await paste(page, '286.1\n287,4\n2859 G\n');
  const rows = await count(3);
  assert.deepEqual(rows.map(({ given }) => given.replace('\u00a0', ' ')).sort(), ['2859 G', '286.1 mT', '287.4 mT']);
  await page.getByRole('button', { name: 'Undo', exact: true }).click();
  await count(0);
  await paste(page, '286.1\nmuch');
  assert.match(await page.textContent('.said'), /“much” is no reading/);
  await paste(page, 'pieces\tvalue (mT)\n1\t286\n2\t431');
  assert.equal((await count(2))[0].place.pieces, 2);
  await page.getByLabel('remark on the next one').fill('by hand');
  await page.locator('.big input').focus();
  await type(page, '285.5');
  assert.equal((await count(3))[0].note, 'by hand');
  assert.equal(await page.getByLabel('remark on the next one').inputValue(), '');
  await page.getByLabel('Read by').selectOption('a pull tester');
  await page.getByLabel('from a plate of').fill('1');
  await page.locator('.big input').focus();
  await page.waitForFunction(() =>
    /pull from 1.mm of mild steel/.test(document.querySelector('.says')?.textContent ?? ''),
  );
  await type(page, '9.5');
  const [pull] = await count(4);
  assert.deepEqual([pull.place.kind, pull.place.plate.thickness.replace('\u00a0', ' ')], ['pull', '1 mm']);
  assert.deepEqual(faults, []);
  await close();
});

test('on a phone one bar takes the reading, and nothing sticks out', async () => {
  await begun('phone');
  const { page, close } = await open(browser, { width: 390, height: 800 });
  await page.goto(`${server.address}#/bench/phone`);
  await page.waitForSelector('.says b');
  await page.locator('.big input').fill('254.5');
  await page.locator('.thumb .chief').click();
  await page.waitForSelector('.list li .say');
  assert.equal((await view('phone')).count, 1);
  // From the third reading on there is what was found, with its charts; their tables stand in a frame of their own.
  for (const value of ['255', '254', '253']) {
    await page.locator('.big input').fill(value);
    await page.locator('.thumb .chief').click();
  }
  await page.getByRole('heading', { name: 'What goes together' }).waitFor();
  const tables = page.locator('summary', { hasText: /^table$/ });
  const charts = await tables.count();
  assert.ok(charts >= 3, `${charts} charts`);
  for (let at = 0; at < charts; at++) await tables.nth(at).click();
  const [wide, seen] = await page.evaluate(() => [document.documentElement.scrollWidth, innerWidth]);
  assert.ok(wide <= seen, `${wide} of ${seen}`);
  await close();
});
