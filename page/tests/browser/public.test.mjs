// The public side: the ask box in a page of the shop's own site, and the lessons and sheets that the shop releases.
import assert from 'node:assert/strict';
import { mkdtempSync, rmSync } from 'node:fs';
import { createServer } from 'node:http';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, afterEach, before, beforeEach, test } from 'node:test';
import { launch, open, run, serve } from './harness.mjs';

let folder, server, site, other, browser, window;

/** A site with one page, which shows the ask box; its address. */
async function siteWith(text) {
  const made = createServer((_, reply) => reply.setHeader('content-type', 'text/html').end(text()));
  await new Promise((listens) => made.listen(0, '127.0.0.1', listens));
  return { address: `http://127.0.0.1:${made.address().port}`, close: () => made.close() };
}

before(async () => {
  folder = mkdtempSync(join(tmpdir(), 'public-'));
  const [list, shop] = [join(folder, 'list.csv'), join(folder, 'shop.sqlite')];
  run('--demo', 'shelf', 'export', list);
  run('--shop', shop, 'shelf', 'import', list);
  run('--shop', shop, 'shelf', 'settings', '--public-lessons', 'gap,solid_or_stack', '--public-sheets', 'all');
  const box = () =>
    `<!doctype html><title>A shop</title><h1>A shop</h1><script src="${server.open}embed.js" data-accent="rgb" data-ground="#102030" data-on-accent="white" data-title="Ask us"></script>`;
  [site, other] = await Promise.all([siteWith(box), siteWith(box)]);
  [server, browser] = await Promise.all([
    serve(0, shop, ['--public', '127.0.0.1:0', '--frame', site.address]),
    launch(),
  ]);
});
after(async () => {
  await browser?.close();
  await server?.stop();
  site?.close();
  other?.close();
  rmSync(folder, { recursive: true, force: true });
});
beforeEach(async () => (window = await open(browser)));
afterEach(() => window.close());

const looks = (frame, selector) =>
  frame.locator(selector).evaluate((one) => [getComputedStyle(one).backgroundColor, getComputedStyle(one).color]);

test('the ask box answers within a page of the shop, as high as its answer and with the looks of the page', async () => {
  const { page, context, faults } = window;
  await page.goto(site.address);
  const frame = page.frameLocator('iframe[title="Ask us"]');
  await frame.locator('#words').fill('hold 2 kg hanging below 3 mm steel, 20 pieces');
  const before = (await page.locator('iframe').boundingBox()).height;
  await frame.getByRole('button', { name: 'Ask' }).click();
  await frame.locator('.lead').waitFor();
  assert.match(await frame.locator('.lead').textContent(), /holds/);
  await page.waitForFunction(
    (least) => document.querySelector('iframe').getBoundingClientRect().height > least,
    before,
  );
  // What is a colour is taken, and what is none is left.
  assert.equal((await looks(frame, 'html'))[0], 'rgb(16, 32, 48)');
  const [ground, ink] = await looks(frame, 'button');
  assert.deepEqual([ground === 'rgb(16, 32, 48)', ink], [false, 'rgb(255, 255, 255)']);
  assert.deepEqual(await context.cookies(), []);
  assert.deepEqual(faults, []);
});

test('it leads to the sheet of what it offers, and to the lessons', async () => {
  const { page, context, faults } = window;
  await page.goto(server.open);
  await page.fill('#words', 'hold 2 kg hanging below 3 mm steel, 20 pieces');
  await page.click('button');
  const opened = async (name) => {
    const [next] = await Promise.all([context.waitForEvent('page'), page.getByRole('link', { name }).first().click()]);
    await next.waitForLoadState();
    next.on('console', (message) => message.type() === 'error' && faults.push(message.text()));
    return next;
  };
  const sheet = await opened('Its sheet');
  assert.match(sheet.url(), /\/sheets\/[\w%.-]+$/);
  assert.ok(await sheet.locator('svg').count());
  const lessons = await opened('Lessons');
  assert.equal(await lessons.locator('a').count(), 2);
  await lessons.locator('a').first().click();
  await lessons.waitForURL(/\.html$/);
  // Its own style is taken, by its mark.
  const width = await lessons.locator('body').evaluate((body) => getComputedStyle(body).maxWidth);
  assert.notEqual(width, 'none');
  const title = await lessons.locator('h1').evaluate((one) => parseFloat(getComputedStyle(one).fontSize));
  const text = await lessons
    .locator('p')
    .last()
    .evaluate((one) => parseFloat(getComputedStyle(one).fontSize));
  assert.ok(title > text, `${title} px above ${text} px`);
  assert.deepEqual(faults, []);
});

test('no other site shows it in a frame', async () => {
  const { page } = window;
  const refused = page.waitForEvent('console', (message) => /frame-ancestors/.test(message.text()));
  await page.goto(other.address);
  await refused;
  const frame = page.frames().find((one) => one !== page.mainFrame());
  assert.equal(await frame.locator('#words').count(), 0);
});
