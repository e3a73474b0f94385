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

test('every arrangement is a sentence, drawn with what it is made of', async () => {
  await visit('#/field', async (page) => {
    for (const [name, magnets, words] of [
      ['one', 1, /^One 20 × 5 mm N42 disc: field in/],
      ['a stack', 3, /^A stack of/],
      ['facing', 2, /^Two .* facing,/],
      ['a square', 9, /^A square of/],
      ['a circle', 8, /on a circle of/],
      ['a Halbach row', 5, /^A Halbach row of/],
    ]) {
      await page.getByRole('button', { name, exact: true }).click();
      const text = magnets === 1 ? 'of one magnet' : `of ${magnets} magnets`;
      await page.waitForFunction(
        (wanted) => document.querySelector('.frame svg')?.getAttribute('aria-label')?.endsWith(wanted),
        text,
      );
      const said = (await page.textContent('h1')).replaceAll('\u00a0', ' ').trim();
      assert.match(said, words);
    }
  });
});

test('two magnets show the force between them, and it is the interface’s', async () => {
  await visit('#/field', async (page) => {
    await page.getByRole('button', { name: 'facing', exact: true }).click();
    await page.waitForSelector('.answer .lead');
    const reply = await fetch(`${server.address}api/enquiry?units=metric`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: JSON.stringify({
        kind: 'tell',
        about: ['pull'],
        magnets: [{ shape: 'disc', size_mm: [20, 5], grade: 'N42', pair: true }],
        question: { need: { gap: '10 mm' } },
      }),
    });
    const told = await reply.json();
    assert.equal(await page.textContent('.answer .lead'), told.lead.map(({ text }) => text).join(''));
    assert.equal(await page.textContent('.answer dd b >> nth=0'), told.figures[0].value);
    await page.getByLabel('distance between the faces').fill('5 mm');
    await page.keyboard.press('Enter');
    await page.waitForFunction(
      (old) => document.querySelector('.answer dd b')?.textContent !== old,
      told.figures[0].value,
    );
  });
});

test('the magnet is picked from the shelf, or typed where the shelf has none', async () => {
  await visit('#/field', async (page) => {
    await page.getByRole('button', { name: /^magnet:/ }).click();
    await page.waitForSelector('.pick li button');
    const first = page.locator('.pick li button').first();
    const code = /\S+$/.exec((await first.textContent()).trim())[0];
    await first.click();
    await page.waitForSelector('.pick', { state: 'detached' });
    assert.match((await page.textContent('h1')).replaceAll('\u00a0', ' '), /N42/);
    await page.waitForFunction((wanted) => location.hash.includes(encodeURIComponent(wanted)), code);
    await page.getByRole('button', { name: /^magnet:/ }).click();
    await page.getByRole('button', { name: 'a size that is not on the shelf' }).click();
    await page.getByLabel('Size in mm and grade').fill('18 x 4 N45');
    await page.keyboard.press('Enter');
    await page.waitForFunction(() =>
      document.querySelector('h1')?.textContent?.replaceAll('\u00a0', ' ').includes('18 × 4'),
    );
  });
});

test('the field is read where the picture is pressed and where the keys lead, counted from the face', async () => {
  await visit('#/field', async (page) => {
    await page.getByRole('button', { name: 'one', exact: true }).click();
    await page.waitForFunction(() =>
      document.querySelector('.frame svg')?.getAttribute('aria-label')?.endsWith('one magnet'),
    );
    const frame = page.locator('.frame');
    await frame.click({ position: { x: 40, y: 40 } });
    await page.waitForFunction(() =>
      /the axis.*above the upper face: .*mT/s.test(document.querySelector('.read')?.textContent ?? ''),
    );
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
    await page.getByRole('button', { name: 'your own', exact: true }).click();
    const text = page.locator('textarea');
    await text.fill('{"bodies": [{"shape": "sphere", "diameter_mm": "8 mm", "polarisation_T": [0, 1, 1]}]}');
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

test('a link brings the set-up back, and the units are the reader’s', async () => {
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
  await shared.visit(
    browser,
    `${server.address}#/field?for=${encodeURIComponent('{"kind":"on_steel"}')}`,
    async (page) => {
      page.setDefaultTimeout(60_000);
      await page.waitForSelector('.picture svg');
      assert.match((await page.textContent('.lead')) ?? '', /pulls .*N there/);
      await page.getByLabel('carries').selectOption('cup');
      await page.waitForFunction(() => document.querySelector('.lead')?.textContent?.includes('times as much'));
      await page.getByLabel('cup, inside, mm').fill('12');
      await page.waitForSelector('[role=alert]');
    },
  );
});
