// What the browser tests share: the program named by LODEWRIGHT_BIN, and a browser.
import assert from 'node:assert/strict';
import { spawn, spawnSync } from 'node:child_process';
import { chromium } from 'playwright-core';

const binary = process.env.LODEWRIGHT_BIN;
if (!binary) throw new Error('name the program in LODEWRIGHT_BIN, such as target/debug/lodewright');

/** Runs the program to its end; what it printed. */
export function run(...words) {
  const done = spawnSync(binary, words, { encoding: 'utf8', maxBuffer: 1 << 28 });
  assert.equal(done.status, 0, `${words.join(' ')}: ${done.stdout}${done.stderr}`);
  return done.stdout;
}

/**
 * Starts the program on its demo shop, or on the shop in a file, with more words on its line; `address` ends in a slash, and so does
 * that of the public side, `open`, where there is one; `link` is that of the first owner, where people sign in. A port may be asked for, to come back where one was.
 */
export function serve(port = 0, file = null, more = []) {
  const which = file ? ['--shop', file] : ['--demo'];
  const words = ['serve', ...which, '--port', String(port), ...more];
  const child = spawn(binary, words, { stdio: ['ignore', 'pipe', 'inherit'] });
  const first = () => /http:\S+\/sign-in\/join\S+/.exec(said)?.[0];
  const isWhole = () =>
    (!more.includes('--public') || /public side is at http:\S+/.test(said)) && (!more.includes('--sign-in') || first());
  let said = '';
  const stop = (signal = 'SIGTERM') =>
    new Promise((resolve) => {
      if (child.exitCode !== null) return resolve();
      child.once('exit', resolve);
      child.kill(signal);
    });
  return new Promise((resolve, reject) => {
    child.once('error', reject);
    child.once('exit', (code) => reject(new Error(`the program ended with ${code}: ${said}`)));
    child.stdout.on('data', (chunk) => {
      said += chunk;
      const found = /http:\/\/127\.0\.0\.1:(\d+)\//.exec(said);
      const open = /public side is at (http:\/\/127\.0\.0\.1:\d+\/)/.exec(said)?.[1];
      if (found && isWhole()) resolve({ address: found[0], port: Number(found[1]), open, link: first(), stop });
    });
  });
}

export function launch() {
  return chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
}

/** A fresh window. `faults` collects what the page threw and what the policy refused. */
export async function open(browser, { theme = 'light', width = 1180, height = 900 } = {}) {
  const context = await browser.newContext({ colorScheme: theme, viewport: { width, height } });
  const page = await context.newPage();
  page.setDefaultTimeout(10_000);
  const faults = [];
  page.on('pageerror', (error) => faults.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && /policy|refused/i.test(message.text())) faults.push(message.text());
  });
  return { page, context, faults, close: () => context.close() };
}

/** Opens a place in a fresh window, works there, and finds that nothing was thrown and nothing refused. */
export async function visit(browser, address, work, size = {}) {
  const window = await open(browser, size);
  try {
    await window.page.goto(address);
    await work(window.page);
    assert.deepEqual(window.faults, []);
  } finally {
    await window.close();
  }
}

/** The address of the Ask place with a question that the demo shelf answers well. Opening it files nothing. */
export const EXAMPLE =
  'hold 2 kg hanging below 3 mm steel through 0.4 mm paint, up to 60 °C, no wider than 25 mm, 200 pieces';
export const asking = (address, words = EXAMPLE) => `${address}#/?ask=${encodeURIComponent(words)}`;

/** Waits until the Ask place has an answer with its chart. */
export async function answered(page) {
  await page.waitForSelector('.answer .lead');
  await page.waitForSelector('[role=slider]');
}
