// Every place, light and dark, wide and narrow: axe finds nothing, nothing sticks out, paper gets all of it.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { after, before, test } from 'node:test';
import { answered, launch, open, serve } from './harness.mjs';

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

let server, browser, item, answer;
before(async () => {
  [server, browser] = await Promise.all([serve(), launch()]);
  const shelf = await (await fetch(`${server.address}api/shelf?limit=1`)).json();
  item = shelf.items[0].code;
  const window = await open(browser);
  await window.page.goto(server.address);
  await answered(window.page);
  await window.close();
  answer = (await (await fetch(`${server.address}api/desk`)).json()).entries[0].id;
});
after(async () => {
  await browser?.close();
  await server?.stop();
});

const places = {
  ask: () => ['', '[role=slider]'],
  answer: () => [`#/answer/${answer}`, '[role=slider]'],
  ladder: () => ['#/ladder', 'g.rung'],
  field: () => ['#/field', '.frame svg'],
  steel: () => ['#/field?for=steel', '.picture svg'],
  item: () => [`#/item/${item}`, '[role=slider]'],
  shelf: () => ['#/shelf', 'main tbody tr'],
  desk: () => ['#/desk', 'main li'],
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
      for (const [name, place] of Object.entries(places)) {
        const [hash, ready] = place();
        await window.page.goto('about:blank');
        await window.page.goto(server.address + hash);
        await window.page.waitForSelector(ready);
        await window.page.waitForTimeout(300);
        assert.deepEqual(await violations(window.page), [], name);
        const over = await window.page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
        assert.ok(over <= 0, `${name} sticks out by ${over} px`);
      }
      assert.deepEqual(window.faults, []);
      await window.close();
    });

test('open editors, dialogs and refusals are accessible too', async () => {
  const window = await open(browser);
  const { page } = window;
  await page.goto(server.address);
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
  await window.page.goto(server.address);
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
