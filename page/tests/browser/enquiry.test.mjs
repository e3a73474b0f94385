// Enquiries of the other kinds: told, compared, explained, refused; the figures on the screen are the interface's.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import * as shared from './harness.mjs';
import { launch, serve } from './harness.mjs';

let server, browser;
before(async () => ([server, browser] = await Promise.all([serve(), launch()])));
after(async () => {
  await browser?.close();
  await server?.stop();
});

const DISC = { shape: 'disc', size_mm: [20, 5], grade: 'N42' };
const THICK = { shape: 'disc', size_mm: [20, 10], grade: 'N42' };
const plain = (runs) => runs.map(({ text }) => text).join('');

const post = async (path, body) =>
  (
    await fetch(`${server.address}api/${path}?units=metric`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify(body),
    })
  ).json();
const desk = async () => (await (await fetch(`${server.address}api/desk`)).json()).entries.length;

/** Opens an enquiry and compares what is shown with what the interface answers. */
const answer = (enquiry, work, size) =>
  shared.visit(
    browser,
    `${server.address}#/?enquiry=${encodeURIComponent(JSON.stringify(enquiry))}`,
    async (page) => {
      await page.waitForSelector('.answer .lead');
      await work(page, await post('enquiry', enquiry));
    },
    size,
  );

test('a magnet is told of: a sentence first, then its figures with their bands', async () => {
  const before = await desk();
  await answer({ kind: 'tell', about: ['card'], magnets: [DISC] }, async (page, told) => {
    assert.equal(await page.textContent('.answer .lead'), plain(told.lead));
    assert.deepEqual(
      await page.locator('.answer dd b').allTextContents(),
      told.figures.map(({ value }) => value),
    );
    const bands = told.figures.filter(({ range }) => range).map(({ range }) => `95 % of pieces: ${range}`);
    assert.deepEqual(await page.locator('.answer dd .band').allTextContents(), bands);
    assert.equal(await page.locator('nav.next a').count(), told.next.length);
  });
  assert.equal(await desk(), before, 'telling files nothing');
});

test('magnets stand side by side, the better figure of each row marked by more than colour', async () => {
  await answer({ kind: 'compare', about: ['pull', 'price'], magnets: [DISC, THICK] }, async (page, compared) => {
    assert.equal(await page.textContent('.answer .lead'), plain(compared.lead));
    const rows = await page.locator('.answer tbody tr').count();
    assert.equal(rows, compared.rows.length);
    const best = compared.rows.filter(({ best }) => best !== null && best !== undefined).length;
    assert.equal(await page.getByText(', the better').count(), best);
  });
});

test('a standing question is answered with figures of the shelf, and leads on', async () => {
  await answer({ kind: 'explain', about: ['thin_sheet'] }, async (page, explained) => {
    assert.equal(await page.textContent('.answer .lead'), plain(explained.text));
    assert.ok((await page.locator('nav.next a').count()) >= 1);
    await page.locator('nav.next a').first().click();
    await page.waitForFunction(() => !location.hash.includes('thin_sheet'));
  });
});

test('what cannot be is refused with the reason and what would do', async () => {
  await answer(
    { kind: 'refuse', reason: 'not_magnetic' },
    async (page, refused) => {
      assert.equal(await page.textContent('.answer .lead'), plain(refused.lead));
      assert.equal(await page.locator('ul.would li').count(), refused.instead.length);
    },
    { width: 390 },
  );
});

test('an enquiry that lacks something says what, and the box stays', async () => {
  await shared.visit(browser, `${server.address}#/?enquiry=${encodeURIComponent('{"kind":"tell"}')}`, async (page) => {
    await page.waitForSelector('[role=alert]');
    assert.ok(await page.isVisible('textarea'));
    assert.equal(await page.locator('.answer').count(), 0);
  });
});

test('an item of the shelf begins an enquiry about it', async () => {
  const { items } = await (await fetch(`${server.address}api/shelf?limit=1`)).json();
  await shared.visit(browser, `${server.address}#/item/${items[0].code}`, async (page) => {
    await page.getByRole('link', { name: 'Ask about this one' }).click();
    await page.waitForSelector('.answer dl');
    assert.match(await page.textContent('.answer'), new RegExp(items[0].code));
  });
});
