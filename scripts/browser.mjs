// Builds the engine as WebAssembly and measures it in Chromium over ten thousand items: its size packed, and how long questions take, the
// first time and later.
//   browser.mjs [LEVEL]
// LEVEL is that of optimisation: 3 where it is absent, s or z for a small one. It prints what it found, and judges nothing.
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { createServer } from "node:http";
import { createRequire } from "node:module";
import { resolve } from "node:path";
import { brotliCompressSync, constants, gzipSync } from "node:zlib";

const [level = "3"] = process.argv.slice(2);
const root = resolve(import.meta.dirname, "..");
const { chromium } = createRequire(resolve(root, "page/package.json"))("playwright-core");
const target = resolve(process.env.CARGO_TARGET_DIR ?? resolve(root, "target"), "browser");
const WORDS = [
  "hold 2 kg",
  "hold 2 kg hanging below 3 mm steel through 0.4 mm paint, up to 60 °C, no wider than 25 mm, 200 pieces",
  "reach 50 mT at 10 mm",
  "switch a sensor that operates at 10 mT from 8 mm and releases at 5 mT at 40 mm",
  "pull together with 20 N through 3 mm",
  "what does a 20 x 5 mm N42 disc pull?",
  "why is twice as thick not twice as strong?",
];

function cargo(words, more = {}) {
  const done = spawnSync("cargo", words, { cwd: root, env: { ...process.env, ...more }, stdio: ["ignore", "pipe", "inherit"], maxBuffer: 1 << 28 });
  if (done.status !== 0) throw new Error(`cargo ${words.join(" ")} failed`);
  return done.stdout;
}
const whole = ["--manifest-path", "browser/Cargo.toml", "--target-dir", target, "--target", "wasm32-unknown-unknown", "--release", "--quiet"];
cargo(["build", ...whole], { CARGO_PROFILE_RELEASE_OPT_LEVEL: level, RUSTFLAGS: "-C target-feature=+simd128" });
const engine = readFileSync(resolve(target, "wasm32-unknown-unknown/release/lodewright_browser.wasm"));
const shelf = cargo(["run", "--quiet", "-p", "shop", "--example", "invented", "10000"]);

const brotli = { params: { [constants.BROTLI_PARAM_QUALITY]: 11, [constants.BROTLI_PARAM_LGWIN]: 24 } };
const size = (bytes) => `${(bytes.length / 2 ** 20).toFixed(2)} MiB`;
for (const [name, bytes] of Object.entries({ engine, shelf }))
  console.log(`${name}: ${size(bytes)}, by gzip ${size(gzipSync(bytes, { level: 9 }))}, by brotli ${size(brotliCompressSync(bytes, brotli))}`);

const files = { "/engine": [engine, "application/wasm"], "/shelf": [shelf, "application/json"] };
const server = createServer((request, reply) => {
  const [bytes, type] = files[request.url] ?? ["<!doctype html><title>Measured</title>", "text/html"];
  reply.setHeader("content-type", type).end(bytes);
});
await new Promise((listens) => server.listen(0, "127.0.0.1", listens));
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu"] });
const page = await browser.newPage();
await page.goto(`http://127.0.0.1:${server.address().port}/`);
const measured = await page.evaluate(async (asked) => {
  const start = performance.now();
  const { instance } = await WebAssembly.instantiateStreaming(fetch("/engine"), {});
  const { memory, room, load, ask, told } = instance.exports;
  const put = (bytes) => new Uint8Array(memory.buffer, room(bytes.length), bytes.length).set(bytes);
  const begun = performance.now();
  put(new Uint8Array(await (await fetch("/shelf")).arrayBuffer()));
  const items = load();
  const loaded = performance.now();
  const rows = asked.map((words) => {
    const times = Array.from({ length: 6 }, () => {
      const from = performance.now();
      put(new TextEncoder().encode(words));
      const length = ask();
      const text = new TextDecoder().decode(new Uint8Array(memory.buffer, told(), length));
      JSON.parse(text);
      return performance.now() - from;
    });
    const later = times.slice(1).sort((a, b) => a - b);
    return `${words}: first ${times[0].toFixed(0)} ms, then ${later[2].toFixed(0)} ms`;
  });
  return { items, begun: begun - start, loaded: loaded - begun, rows, memory: memory.buffer.byteLength / 2 ** 20 };
}, WORDS);
await browser.close();
server.close();
console.log(`begins in ${measured.begun.toFixed(0)} ms, takes ${measured.items} items in ${measured.loaded.toFixed(0)} ms, holds ${measured.memory.toFixed(0)} MiB`);
for (const row of measured.rows) console.log(row);
