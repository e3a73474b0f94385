// The other places: ladder, item, shelf with its import, desk, kept answers, and the server going away.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import * as shared from './harness.mjs';
import { answered, asking, launch, open, serve } from './harness.mjs';

let server, browser;
before(async () => ([server, browser] = await Promise.all([serve(), launch()])));
after(async () => {
  await browser?.close();
  await server?.stop();
});

const visit = (hash, work, size) => shared.visit(browser, server.address + hash, work, size);

test('the ladder shows every rung drawn and listed, without labels on top of each other', async () => {
  for (const width of [1180, 390]) {
    await visit(
      '#/ladder',
      async (page) => {
        await page.waitForSelector('g.rung');
        const listed = await page.locator('main table >> nth=0 >> tbody tr').count();
        assert.ok(listed >= 2);
        assert.ok((await page.locator('g.rung').count()) <= listed);
        const boxes = await page
          .locator('g.rung .name')
          .evaluateAll((labels) =>
            labels.map((label) => label.getBoundingClientRect()).map(({ left, right }) => ({ left, right })),
          );
        for (const [index, box] of boxes.entries()) {
          const next = boxes[index + 1];
          if (next) assert.ok(box.right <= next.left, `labels ${index} and ${index + 1} overlap at ${width}`);
        }
      },
      { width },
    );
  }
});

test('an item is found on the shelf and shown with its charts', async () => {
  await visit('#/shelf', async (page) => {
    await page.waitForSelector('main tbody tr');
    const before = await page.textContent('nav[aria-label="Pages of the shelf"] span');
    await page.fill('[data-entry]', 'N42');
    await page.waitForFunction(
      (old) => document.querySelector('nav[aria-label="Pages of the shelf"] span')?.textContent !== old,
      before,
    );
    await page.selectOption('select >> nth=0', 'disc');
    await page.waitForFunction(() =>
      [...document.querySelectorAll('main tbody th')].every((cell) => cell.textContent?.includes('disc')),
    );
    await page.click('main tbody tr >> nth=0 >> a');
    await page.waitForSelector('[role=slider]');
    assert.equal(await page.locator('[role=slider]').count(), 5, 'field, pull, steel, heat, curve');
    assert.match(await page.textContent('h1'), /disc/i);
  });
});

test('a price list is looked at, brought in and taken back', async () => {
  await visit('#/shelf', async (page) => {
    await page.waitForSelector('main tbody tr');
    const content = 'code;diameter (mm);thickness (mm);grade;price 1\nzz-01;10;3;N42;0.50\n';
    await page.setInputFiles('input[type=file]', {
      name: 'list.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(content),
    });
    await page.waitForSelector('.counts');
    assert.match(await page.textContent('.counts'), /list\.csv has/);
    await page.click('.deed.chief');
    await page.waitForSelector('.done');
    assert.match(await page.textContent('.done'), /new/);
    await page.click('.done >> text=Undo');
    await page.waitForFunction(() => !/new/.test(document.querySelector('.done')?.textContent ?? 'new'));
  });
});

test('a bad price list shows its problems and cannot be brought in', async () => {
  await visit('#/shelf', async (page) => {
    await page.waitForSelector('main tbody tr');
    const content = 'code;diameter (mm);thickness (mm);grade\nzz-02;10;-3;N42\n';
    await page.setInputFiles('input[type=file]', {
      name: 'bad.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(content),
    });
    await page.waitForSelector('.counts');
    assert.match(await page.textContent('section'), /line \d+/);
    assert.ok(await page.isDisabled('.deed.chief'));
  });
});

test('an answer is kept on the desk, opens from there, is taken off and put back', async () => {
  await visit(asking(''), async (page) => {
    await answered(page);
    await page.getByRole('button', { name: 'Keep this answer' }).click();
    await page.waitForSelector('.keep', { state: 'detached' });
    await page.click('nav >> text=Desk');
    await page.waitForSelector('main li');
    const entries = await page.locator('main li').count();
    await page.click('main li >> nth=0 >> text=take off');
    await page.waitForFunction((before) => document.querySelectorAll('main li').length === before - 1, entries);
    await page.click('.bar >> text=Undo');
    await page.waitForFunction((before) => document.querySelectorAll('main li').length === before, entries);
    await page.click('main li >> nth=0 >> a');
    await page.waitForSelector('.answer .lead');
    assert.match(await page.textContent('.when'), /Asked on/);
    await page.click('.when button');
    await page.waitForSelector('[data-path]');
    assert.match(page.url(), /#\/\?ask=/);
  });
});

test('a reply is written under 150 words, edited, copied, and the desk shows that it went out', async () => {
  await visit(asking(''), async (page) => {
    await answered(page);
    await page.getByRole('button', { name: 'Write the reply' }).click();
    const text = page.getByLabel('Reply, to be edited');
    await text.waitFor();
    const written = await text.inputValue();
    assert.ok(written.startsWith('Hello,') && written.split(/\s+/).length <= 170, written);
    await text.fill(`${written}PS: sent by hand`);
    await page.getByRole('button', { name: 'Copy', exact: true }).click();
    await page.waitForTimeout(500);
    await page.click('nav >> text=Desk');
    await page.waitForSelector('main li');
    await page.click('main li >> nth=0 >> text=what went out');
    assert.match(await page.textContent('main li >> nth=0 >> .sent'), /PS: sent by hand/);
    assert.equal(await page.inputValue('main li >> nth=0 >> select'), 'sent');
  });
});

test('what is edited while a reply is written anew stays', async () => {
  await visit(asking(''), async (page) => {
    await answered(page);
    await page.getByRole('button', { name: 'Write the reply' }).click();
    const text = page.getByLabel('Reply, to be edited');
    await text.waitFor();
    let begun = 0;
    let ended = 0;
    await page.route('**/reply?*', async (route) => {
      begun += 1;
      await new Promise((done) => setTimeout(done, 1500));
      await route.continue();
    });
    page.on('requestfinished', (request) => (ended += request.url().includes('/reply?') ? 1 : 0));
    await page.click('text=in · lbf · G');
    while (begun === 0) await page.waitForTimeout(20);
    await text.fill('my own words');
    while (ended < begun) await page.waitForTimeout(50);
    await page.waitForTimeout(300);
    assert.equal(await text.inputValue(), 'my own words');
  });
});

test('a magnet goes into a quotation, which is made, opened again and has its paper', async () => {
  await visit(asking(''), async (page) => {
    await answered(page);
    await page.getByRole('button', { name: 'Write the reply' }).click();
    await page.getByRole('button', { name: 'add to a quotation' }).first().click();
    await page.getByRole('link', { name: 'in the quotation' }).first().click();
    await page.getByLabel('For', { exact: true }).fill('<b>=1+1 שלום</b>');
    await page.getByRole('button', { name: 'Make the quotation' }).click();
    await page.waitForSelector('.prices');
    assert.match(page.url(), /#\/quotation\/Q-\d+-\d+\?issue=1/);
    assert.match(await page.textContent('.facts'), /<b>=1\+1 שלום<\/b>/);
    const paper = await page.request.get(new URL(await page.getAttribute('.deeds a', 'href'), page.url()).href);
    assert.equal(paper.headers()['content-type'], 'application/pdf');
    assert.equal((await paper.body()).subarray(0, 5).toString(), '%PDF-');
  });
});

test('a lesson is edited, told where it does not read, kept, and given back', async () => {
  await visit('#/lessons/gap', async (page) => {
    const ours = await page.textContent('h1');
    await page.click('text=edit the text');
    const area = page.locator('#lesson-text');
    const text = await area.inputValue();
    await area.fill(text.replace('+++', '+++\ntitle = "What does {gap} cost?"\ntext = "Ours: {no_such}."'));
    await page.click('text=Keep this lesson');
    await page.waitForSelector('[role=alert] >> text=/line 3.*no_such/');
    await area.fill(text.replace('+++', '+++\ntitle = "What does a gap cost?"\ntext = "Ours: {gap_pull}."'));
    await area.press('Control+Enter');
    await page.waitForSelector('h1:has-text("What does a gap cost?")');
    assert.match(await page.textContent('.lead'), /^Ours: [\d.]+\sN\./);
    await page.click('text=edit the text');
    await page.click('text=take our text away');
    await page.waitForFunction((title) => document.querySelector('h1')?.textContent === title, ours);
  });
});

test('what has changed since is told below a kept answer, and everything has its paper', async () => {
  await visit(asking(''), async (page) => {
    await answered(page);
    await page.click('text=Keep this answer');
    const link = await page.waitForSelector('.actions a:has-text("HTML")');
    const saved = page.waitForEvent('download');
    await link.click();
    assert.match((await saved).suggestedFilename(), /^answer-.*\.html$/);
    const id = /answers\/([^/]+)\/paper/.exec(await link.getAttribute('href'))?.[1];
    await page.goto(`${server.address}#/shelf`);
    await page.setInputFiles('input[type=file]', {
      name: 'list.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from('code,size,grade,coating,stock,price 1\nZZ-01,24 x 12,N42,nickel,5000,0.01\n'),
    });
    await page.waitForSelector('.counts');
    await page.click('.deed.chief');
    await page.waitForSelector('.done');
    await visit(`#/answer/${id}`, async (opened) => {
      await opened.click('text=Show what has changed');
      await opened.waitForSelector('section.since li >> text=/First is now .*ZZ-01/');
    });
    await page.click('.done >> text=Undo');
    await page.waitForFunction(() => !/new/.test(document.querySelector('.done')?.textContent ?? 'new'));
  });
});

test('a ladder is sent as a link, which shows the same later and tells what has changed', async () => {
  await visit('#/ladder', async (page) => {
    await page.waitForSelector('g.rung');
    const lead = await page.textContent('.answer .lead');
    await page.getByRole('button', { name: 'Link', exact: true }).click();
    await page.getByRole('link', { name: 'see it' }).click();
    await page.waitForSelector('.address a');
    const address = await page.getAttribute('.address a', 'href');
    const shown = async () => {
      const window = await open(browser);
      await window.page.goto(address);
      const text = await window.page.textContent('body');
      await window.close();
      return text;
    };
    const before = await shown();
    assert.ok(before.includes(lead), before.slice(0, 400));
    await page.click('text=Show what has changed');
    await page.waitForSelector('text=Nothing: every line is the same');
    const place = page.url();
    // The shelf gets another rung of that family.
    const request = JSON.parse(
      new URLSearchParams((await page.getAttribute('text=The same on today', 'href')).split('?')[1]).get('for'),
    );
    const { diameter } = request.body.disc ?? request.body;
    await page.goto(`${server.address}#/shelf`);
    await page.setInputFiles('input[type=file]', {
      name: 'list.csv',
      mimeType: 'text/csv',
      buffer: Buffer.from(
        `code,size,grade,coating,stock,price 1\nZZ-02,${1000 * diameter} x 3.7,${request.grade},nickel,5000,0.01\n`,
      ),
    });
    await page.waitForSelector('.counts');
    await page.click('.deed.chief');
    await page.waitForSelector('.done');
    await visit(place.slice(place.indexOf('#')), async (opened) => {
      await opened.waitForSelector('text=The shelf has changed since');
      await opened.click('text=Show what has changed');
      await opened.waitForSelector('td >> text=/ZZ-02/');
    });
    assert.equal(await shown(), before);
    await page.click('.done >> text=Undo');
    await page.waitForFunction(() => !/new/.test(document.querySelector('.done')?.textContent ?? 'new'));
  });
});

test('a chart is taken away as SVG, PNG and CSV', async () => {
  await visit('#/lessons/gap', async (page) => {
    await page.waitForSelector('.plot svg');
    for (const [kind, begins] of [
      ['SVG', '<svg'],
      ['PNG', '\u0089PNG'],
      ['CSV', '\u00ef\u00bb\u00bfcurve,'],
    ])
      for (const part of kind === 'CSV' ? ['.plot'] : ['.plot', '.chart']) {
        const saved = page.waitForEvent('download');
        await page
          .locator(part)
          .first()
          .getByRole('button', { name: new RegExp(`as ${kind}$`) })
          .click();
        const file = await saved;
        assert.match(file.suggestedFilename(), new RegExp(`\\.${kind.toLowerCase()}$`));
        const chunks = [];
        for await (const chunk of await file.createReadStream()) chunks.push(chunk);
        const bytes = Buffer.concat(chunks);
        assert.ok(bytes.toString('latin1').startsWith(begins), bytes.subarray(0, 40).toString());
        // A picture of one colour would be far smaller.
        if (kind === 'PNG') assert.ok(bytes.length > 5000, `${bytes.length} bytes`);
      }
  });
});

test('a magnet is made to a wish with the figures of the interface, and a wish that does not read says so', async () => {
  await visit('#/design', async (page) => {
    const wish = '0.3 T at 5 mm in N52 in a space of 30 x 20 mm';
    const box = page.getByLabel('what it must do, in which space, of which grade');
    await box.fill('0.3 T at 5 mm in N52');
    await box.press('Enter');
    await page.waitForSelector('[role=alert] >> text=say where it must fit');
    await box.fill(wish);
    await box.press('Enter');
    await page.waitForSelector('.drafts li', { timeout: 60_000 });
    const view = await page.evaluate(async (words) => {
      const body = JSON.stringify({ wish: words, least: ['mass'] });
      const headers = { 'content-type': 'application/json' };
      return (await fetch('api/design', { method: 'POST', headers, body })).json();
    }, wish);
    assert.equal(await page.textContent('.lead'), view.lead);
    assert.equal(await page.locator('.drafts > li').count(), view.drafts.length);
    assert.equal(await page.locator('.stock > li').count(), view.stock.builds.length);
    const told = await page.textContent('section[aria-label=Answer]');
    assert.ok(told.indexOf(view.stock.lead) < told.indexOf(view.lead), 'the shelf before what is to be made');
    for (const { code } of view.stock.builds.flatMap(({ pieces }) => pieces)) assert.ok(told.includes(code), code);
    assert.ok((await page.textContent('.drafts > li')).includes(view.drafts[0].name));
  });
});

test('an address that leads nowhere, and things that are not there, say so', async () => {
  await visit('#/nowhere', (page) => page.waitForSelector('text=nothing at this address'));
  await visit('#/item/no-such', (page) => page.waitForSelector('[role=alert]'));
  await visit('#/answer/no-such', (page) => page.waitForSelector('[role=alert]'));
});

test('when the server goes the page says so, and goes on by itself when it is back', async () => {
  const mine = await serve();
  const window = await open(browser);
  try {
    const { page } = window;
    await page.goto(asking(mine.address));
    await answered(page);
    await mine.stop();
    await page.click('.units >> text=lbf');
    await page.waitForSelector('text=The server does not answer');
    const back = await serve(mine.port);
    try {
      await page.waitForSelector('text=The server does not answer', { state: 'detached', timeout: 20_000 });
      await page.waitForFunction(() => /lbf/.test(document.querySelector('.value b')?.textContent ?? ''));
    } finally {
      await back.stop();
    }
  } finally {
    await window.close();
  }
});

test('builds with steel from the shelf are solved after the answer, and the parts lie on the shelf', async () => {
  await visit('#/?ask=hold%202%20kg%20in%20a%20cup%2C%20200%20pieces', async (page) => {
    await answered(page);
    await page.getByRole('button', { name: 'Keep this answer' }).click();
    const row = page.locator('[data-row]', { hasText: 'in a cup' }).first();
    await row.waitFor({ timeout: 60_000 });
    assert.ok(await row.evaluate((button) => button === document.querySelector('[data-row]')), 'it comes first');
    if ((await row.getAttribute('aria-expanded')) !== 'true') await row.click();
    await page.waitForSelector('.panel >> text=/Half of what it adds is gone at/');
    assert.ok((await page.locator('.panel [role=slider]').count()) >= 1, 'its plot');
    // The blank in the sentence takes the steel away again.
    assert.equal(await page.locator('[data-path="/limits/steelwork"]').count(), 1);
  });
  await visit('#/shelf', async (page) => {
    await page.waitForSelector('h2:has-text("Steel parts")');
    await page.fill('[data-entry]', 'cup');
    await page.waitForFunction(() =>
      [...document.querySelectorAll('h2 + div th[scope=row]')].every((cell) => cell.textContent?.includes('steel cup')),
    );
  });
});
