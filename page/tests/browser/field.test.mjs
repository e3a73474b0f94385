// The Field place: arrangements drawn, the field read at a point, bodies by hand.
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

const visit = (hash, work, size) =>
  shared.visit(
    browser,
    server.address + hash,
    async (page) => {
      await page.waitForSelector('.frame svg');
      await work(page);
    },
    size,
  );

const drawn = (page) => page.locator('.frame svg').getAttribute('aria-label');

test('every arrangement is drawn, with what it is made of', async () => {
  await visit('#/field', async (page) => {
    for (const [name, magnets] of [
      ['one magnet', 1],
      ['a stack', 3],
      ['two facing each other', 2],
      ['steps of falling width', 3],
      ['a grid', 9],
      ['a circle', 8],
      ['a Halbach row', 5],
    ]) {
      await page.getByRole('button', { name, exact: true }).click();
      const text = magnets === 1 ? 'of one magnet' : `of ${magnets} magnets`;
      await page.waitForFunction(
        (wanted) => document.querySelector('.frame svg')?.getAttribute('aria-label')?.endsWith(wanted),
        text,
      );
    }
  });
});

test('the field is read where the picture is pressed and where the keys lead', async () => {
  await visit('#/field', async (page) => {
    await page.getByRole('button', { name: 'one magnet', exact: true }).click();
    await page.waitForFunction(() =>
      document.querySelector('.frame svg')?.getAttribute('aria-label')?.endsWith('one magnet'),
    );
    const frame = page.locator('.frame');
    await frame.click({ position: { x: 40, y: 40 } });
    await page.waitForFunction(() => document.querySelector('.read')?.textContent?.includes('Bz'));
    const before = await page.textContent('.read');
    await frame.focus();
    await page.keyboard.press('ArrowRight');
    await page.waitForFunction((old) => document.querySelector('.read')?.textContent !== old, before);
    await page.keyboard.press('Escape');
    await page.waitForFunction(() => document.querySelector('.read')?.textContent?.includes('arrow keys'));
  });
});

test('what is written by hand is drawn, and what does not read is said', async () => {
  await visit('#/field', async (page) => {
    await page.getByRole('button', { name: 'as text', exact: true }).click();
    const text = page.locator('textarea');
    await text.fill('{"bodies": [{"shape": "sphere", "diameter_mm": 8, "polarisation_T": [0, 1, 1]}]}');
    await page.waitForFunction(() =>
      document.querySelector('.frame svg')?.getAttribute('aria-label')?.endsWith('one magnet'),
    );
    await text.fill('{"bodies": [');
    await page.waitForSelector('[role=status]');
    await text.fill('{"bodies": [{"shape": "sphere", "diameter_mm": -8, "polarisation_T": [0, 1, 1]}]}');
    await page.waitForSelector('[role=alert]');
    assert.match((await page.textContent('[role=alert]')) ?? '', /diameter/);
  });
});

test('a link brings the setup back, and the units are the reader’s', async () => {
  await visit('#/field', async (page) => {
    await page.getByRole('button', { name: 'a circle', exact: true }).click();
    await page.waitForFunction(() => location.hash.includes('circle'));
    const address = page.url();
    await page.goto('about:blank');
    await page.goto(address);
    await page.waitForFunction(() =>
      document.querySelector('.frame svg')?.getAttribute('aria-label')?.endsWith('8 magnets'),
    );
    await page.getByRole('button', { name: /in · lbf/ }).click();
    await page.waitForFunction(() => document.querySelector('.frame svg')?.textContent?.includes(', G'));
    assert.match((await drawn(page)) ?? '', /Flux density/);
  });
});

test('a magnet on steel is solved, and a cup is compared with the bare magnet', async () => {
  await shared.visit(browser, `${server.address}#/field?for=steel`, async (page) => {
    page.setDefaultTimeout(60_000);
    await page.waitForSelector('.picture svg');
    assert.match((await page.textContent('.lead')) ?? '', /pulls .*N there/);
    await page.getByLabel('carries').selectOption('cup');
    await page.waitForFunction(() => document.querySelector('.lead')?.textContent?.includes('times as much'));
    await page.getByLabel('cup, inside, mm').fill('12');
    await page.waitForSelector('[role=alert]');
  });
});
