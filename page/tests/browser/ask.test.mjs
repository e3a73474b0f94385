// The main path: a question as a sentence or in words, and the answer that follows.
import assert from 'node:assert/strict';
import { after, afterEach, before, beforeEach, test } from 'node:test';
import { answered, asking, launch, open, serve } from './harness.mjs';

let server, browser, window;
before(async () => ([server, browser] = await Promise.all([serve(), launch()])));
after(async () => {
  await browser?.close();
  await server?.stop();
});
beforeEach(async () => {
  window = await open(browser);
  await window.page.goto(asking(server.address));
  await answered(window.page);
});
afterEach(async () => {
  assert.deepEqual(window.faults, []);
  await window.close();
});

const sentence = async (page) => (await page.textContent('.sentence')).replaceAll('\u00a0', ' ');
const blank = (path) => `[data-path="${path}"]`;
const focused = (page) => page.evaluate(() => document.activeElement?.getAttribute('data-path'));

test('the answer speaks first, in words, with a picture, candidates and cautions', async () => {
  const { page } = window;
  assert.match(await page.textContent('.lead'), /\S+ \S+ \S+/);
  assert.ok((await page.locator('[data-row]').count()) >= 1);
  assert.ok((await page.locator('figure svg[role=img]').count()) >= 1);
  assert.ok((await page.locator('text=Cautions').count()) >= 1);
});

test('a blank is filled by keyboard alone: Enter sets, Escape leaves, Tab goes on', async () => {
  const { page } = window;
  await page.focus(blank('/need/load'));
  await page.keyboard.press('Enter');
  await page.keyboard.type('3 kg');
  await page.keyboard.press('Enter');
  await page.waitForSelector(`${blank('/need/load')}:focus`);
  assert.match(await sentence(page), /Hold 3 kg/);

  await page.keyboard.press('Enter');
  await page.keyboard.type('7 kg');
  await page.keyboard.press('Escape');
  await page.waitForSelector(`${blank('/need/load')}:focus`);
  assert.match(await sentence(page), /Hold 3 kg/);

  await page.keyboard.press('Enter');
  await page.keyboard.type('2 kg');
  await page.keyboard.press('Tab');
  await page.waitForSelector('[role=listbox]:focus');
  assert.match(await sentence(page), /Hold 2 kg/);
  await page.keyboard.press('Escape');
  await page.waitForSelector(`${blank('/need/direction')}:focus`);
  assert.equal(await focused(page), '/need/direction');
});

test('a wrong value is refused where it stands, with the wrong part marked', async () => {
  const { page } = window;
  await page.click(blank('/need/load'));
  await page.keyboard.type('2 kx');
  const alert = page.locator('.panel [role=alert]');
  await alert.waitFor();
  assert.match(await alert.locator('mark').textContent(), /kx/);
  await page.keyboard.press('Enter');
  await page.waitForTimeout(300);
  assert.ok(await page.locator('.sentence input').isVisible(), 'the blank stays open');
  await page.keyboard.press('Escape');
  assert.match(await sentence(page), /Hold 2 kg/);
});

test('a limit is added and left out again', async () => {
  const { page } = window;
  await page.click('.more >> text=greatest height');
  await page.keyboard.type('20 mm');
  await page.keyboard.press('Enter');
  await page.waitForSelector(blank('/limits/tallest'));
  assert.match(await sentence(page), /20 mm/);
  await page.click(blank('/limits/tallest'));
  await page.click('text=leave it out');
  await page.waitForSelector(blank('/limits/tallest'), { state: 'detached' });
});

test('layers are added, and taken out', async () => {
  const { page } = window;
  await page.click(blank('/need/layers'));
  await page.click('text=add a layer');
  await page.keyboard.type('1 mm');
  await page.keyboard.press('Enter');
  await page.waitForSelector(`${blank('/need/layers')}:focus`);
  assert.match(await sentence(page), /0\.4 mm of paint.*1 mm of/);
  await page.keyboard.press('Enter');
  await page.locator('.box .panel >> text=take out').last().click();
  await page.click('.box .panel >> text=set');
  await page.waitForSelector('.box .panel', { state: 'detached' });
  assert.doesNotMatch(await sentence(page), /1 mm of/);
});

test('leaving a blank by pointer sets it', async () => {
  const { page } = window;
  await page.click(blank('/pieces'));
  await page.keyboard.type('50');
  await page.click('.lead');
  await page.waitForSelector('.sentence input', { state: 'detached' });
  assert.match(await sentence(page), /50 pieces/);
});

const desk = async () => (await (await fetch(`${server.address}api/desk`)).json()).entries.length;

test('opening the page, typing and trying a verb file nothing; reading does', async () => {
  const { page } = window;
  const before = await desk();
  await page.goto('about:blank');
  await page.goto(server.address);
  await page.waitForSelector('textarea');
  assert.equal(await page.locator('.answer').count(), 0);
  await page.getByRole('radio', { name: 'pull together' }).click();
  await answered(page);
  assert.match(await sentence(page), /Pull together/);
  await page.fill('textarea', 'hold 3 kg on 3 mm steel');
  await page.waitForFunction(() => /Hold\s3\skg/.test(document.querySelector('.sentence')?.textContent ?? ''));
  assert.equal(await desk(), before);
  await page.getByRole('button', { name: 'Read it' }).click();
  await page.waitForSelector('.keep', { state: 'detached' });
  assert.equal(await desk(), before + 1);
});

test('an answer that is not kept is kept by one press', async () => {
  const { page } = window;
  const before = await desk();
  await page.getByRole('button', { name: 'Keep this answer' }).click();
  await page.waitForSelector('.keep', { state: 'detached' });
  assert.ok((await desk()) >= before);
  await page.waitForSelector('[role=slider]');
});

test('verbs are a group of radio buttons with arrow keys', async () => {
  const { page } = window;
  await page.getByRole('button', { name: 'clear' }).click();
  await page.focus('[role=radio][tabindex="0"]');
  await page.keyboard.press('Space');
  await page.waitForSelector('[role=radio][aria-checked=true]');
  await page.keyboard.press('ArrowRight');
  await page.waitForFunction(
    () => document.querySelectorAll('[role=radio]')[1]?.getAttribute('aria-checked') === 'true',
  );
  assert.equal(await page.evaluate(() => document.activeElement?.textContent?.trim()), 'pull together');
});

test('units change everywhere and are remembered', async () => {
  const { page } = window;
  await page.click('.units >> text=lbf');
  await page.waitForFunction(() => /lbf/.test(document.querySelector('.value b')?.textContent ?? ''));
  await page.reload();
  await answered(page);
  assert.match(await page.textContent('.value b'), /lbf/);
  await page.click('.units >> text=mT');
  await page.waitForFunction(() => /\sN$/.test(document.querySelector('.value b')?.textContent ?? ''));
});

test('the question survives a reload', async () => {
  const { page } = window;
  await page.click(blank('/need/load'));
  await page.keyboard.type('1.5 kg');
  await page.keyboard.press('Enter');
  await page.waitForSelector(`${blank('/need/load')}:focus`);
  await page.reload();
  await answered(page);
  assert.match(await sentence(page), /Hold 1\.5 kg/);
});

test('candidates are walked with arrow keys, each with its chart', async () => {
  const { page } = window;
  const rows = page.locator('[data-row]');
  await page.getByRole('button', { name: 'Keep this answer' }).click();
  await page.waitForSelector('.keep', { state: 'detached' });
  await rows.first().focus();
  await page.keyboard.press('ArrowDown');
  await page.waitForSelector('[data-row]:nth-of-type(1)[aria-expanded=true]:focus');
  assert.equal(await rows.nth(1).getAttribute('aria-expanded'), 'true');
  await page.waitForSelector('li .panel [role=slider]');
  assert.equal(await page.locator('li .panel').count(), 1);
});

test('the dot on the chart speaks as it moves', async () => {
  const { page } = window;
  const read = () => page.textContent('.read');
  const before = await read();
  await page.focus('[role=slider]');
  await page.keyboard.press('PageUp');
  assert.notEqual(await read(), before);
  await page.keyboard.press('Escape');
  assert.equal(await read(), before);
});

const EMAIL = `Good afternoon,

we are redoing the changing rooms and want to hang 40 small wooden signs on the lockers with magnets.

Each weighs about 350 g.

They sit flat on the locker wall, painted steel,
how thick I do not know.


It can get warm, up to 35 °C.

${'Some more of our story that has nothing to do with it.\n'.repeat(16)}
With kind regards
The equipment room
Tel. 0000 55 01 42, our order no. 2026-1187`;

for (const width of [1180, 390])
  test(`an e-mail of thirty lines is read, each phrase says what it became, and what is asked back is answered at ${width}`, async () => {
    const { page } = window;
    await page.setViewportSize({ width, height: 900 });
    await page.getByRole('button', { name: 'clear' }).click();
    await page.fill('textarea', EMAIL);
    await page.waitForSelector('.asks .ask');
    const reply = await (
      await fetch(`${server.address}api/ask?units=metric`, {
        method: 'POST',
        headers: { 'content-type': 'application/json' },
        body: JSON.stringify({ words: EMAIL, keep: false }),
      })
    ).json();
    const phrases = reply.understood.parts.filter(({ meaning }) => meaning);
    assert.ok(phrases.length >= 4);
    if (width < 760) await page.click('.understood summary');
    assert.equal(await page.locator('.phrase').count(), phrases.length);
    const load = page.locator('.phrase', { hasText: '350 g' });
    assert.match(await load.textContent(), /read as load/);
    assert.deepEqual(
      await page.locator('.asks .ask h2').allTextContents(),
      reply.asks.map(({ question }) => question),
    );
    for (let open = reply.asks.length; open > 0; open -= 1) {
      await page.locator('.asks button.option').first().click();
      await page.waitForFunction((left) => document.querySelectorAll('.asks .ask').length === left, open - 1);
    }
    await page.waitForSelector('.answer .lead');
    assert.match(await sentence(page), /350 g.*0\.5 mm/);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(over <= 0, `sticks out by ${over} px`);
  });

test('a phrase opens its other readings, and is left out by a press', async () => {
  const { page } = window;
  await page.getByRole('button', { name: 'clear' }).click();
  await page.fill('textarea', 'hold 2 kg hanging below 3 mm steel, no wider than 25 mm, 200 pieces');
  await page.waitForFunction(() => /25\smm/.test(document.querySelector('.sentence')?.textContent ?? ''));
  const widest = page.locator('.phrase', { hasText: '25 mm' }).first();
  await widest.focus();
  await page.keyboard.press('Enter');
  await page.waitForSelector('.reading button:focus');
  await page.keyboard.press('Escape');
  assert.equal(await page.locator('.reading').count(), 0);
  await widest.click();
  await page.locator('.reading >> text=leave it out').click();
  await page.waitForFunction(() => !/25\smm/.test(document.querySelector('.sentence')?.textContent ?? ''));
});
