// Where people sign in: the first owner's link, the day's work, signing out and in again, as a browser does it.
import assert from 'node:assert/strict';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { answered, launch, open, run, serve } from './harness.mjs';

const PASSWORD = 'eleven plain letters';
let folder, server, browser;

before(async () => {
  folder = mkdtempSync(join(tmpdir(), 'sign-in-'));
  const [list, shop] = [join(folder, 'list.csv'), join(folder, 'shop.sqlite')];
  run('--demo', 'shelf', 'export', list);
  run('--shop', shop, 'shelf', 'import', list);
  [server, browser] = await Promise.all([serve(0, shop, ['--sign-in']), launch()]);
});
after(async () => {
  await browser?.close();
  await server?.stop();
  rmSync(folder, { recursive: true, force: true });
});

test('the first owner joins by the link, asks and changes things, signs out and in again', async () => {
  const { page, faults, close } = await open(browser);
  try {
    await page.goto(server.address);
    await page.waitForURL(/sign-in$/);
    await page.goto(server.link);
    await page.getByLabel(/Choose a password/).fill(PASSWORD);
    await page.getByRole('button', { name: 'Begin' }).click();
    const ask = async (words) => {
      await page.fill('textarea', words);
      const asked = page.waitForResponse(
        (reply) => reply.request().method() === 'POST' && reply.url().includes('api/ask'),
      );
      await page.getByRole('button', { name: 'Read it' }).click();
      return asked;
    };
    await page.waitForSelector('textarea');
    const reply = await ask('hold 2 kg hanging below 3 mm steel');
    await answered(page);
    const footer = page.locator('footer');
    assert.match(await footer.textContent(), /Signed in as owner, owner/);

    // What the page sends goes through; what comes without the session's token does not.
    assert.equal(reply.status(), 200);
    assert.match((await reply.request().allHeaders())['x-change-token'], /^[0-9a-f]{32}$/);
    const bare = await page.evaluate(async () => (await fetch('api/shelf/undo', { method: 'POST' })).status);
    assert.equal(bare, 403);

    await footer.getByRole('link', { name: 'Sign out' }).click();
    const name = /You are signed in as (.+), owner\./.exec(await page.locator('body').textContent())[1];
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByLabel('Name').fill(name);
    await page.getByLabel('Password').fill('something else');
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.getByRole('alert').waitFor();
    await page.goto(server.address);
    await page.waitForURL(/sign-in$/);
    await page.getByLabel('Name').fill(name);
    await page.getByLabel('Password').fill(PASSWORD);
    await page.getByRole('button', { name: 'Sign in' }).click();
    await page.locator('footer').getByText('Signed in as').waitFor();
    assert.deepEqual(faults, []);
  } finally {
    await close();
  }
});
