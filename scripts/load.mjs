// Asks the public side of a shop so many questions a second, while its owner imports a long list and solves magnets on steel.
//   load.mjs PROGRAM [SECONDS] [QUESTIONS A SECOND] [NEW IN A THOUSAND] [LINES OF THE LIST]
// So many of a thousand are asked for the first time, the others are among six that were asked before and are asked over and over. Questions leave when they are due, whether or not earlier ones are answered, each from an address of its own behind a
// declared proxy. It prints what was answered, how long that took, and the memory of the server, and judges nothing.
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { setTimeout as pause } from "node:timers/promises";

const [given, seconds = "600", rate = "200", fresh = "0", lines = "100000"] = process.argv.slice(2);
if (!given) {
  console.error("usage: load.mjs PROGRAM [SECONDS] [QUESTIONS A SECOND] [NEW IN A THOUSAND] [LINES OF THE LIST]");
  process.exit(2);
}
const program = resolve(given);
const LINES = Number(lines);
const SOLVES = 8;
const WORDS = [
  "hold 2 kg hanging below 3 mm steel, 20 pieces",
  "hold 500 g sideways on a fridge door",
  "reach 5 mT at 30 mm",
  "hold 1 kg straight off 1 mm steel through 0.4 mm paint, up to 80 °C",
  "what does a 20 x 5 mm N42 disc pull?",
  "why is twice as thick not twice as strong?",
];

const folder = mkdtempSync(join(tmpdir(), "load-"));
const shop = join(folder, "shop.sqlite");
const run = (...words) => {
  const done = spawnSync(program, words, { encoding: "utf8", maxBuffer: 1 << 28 });
  if (done.status !== 0) throw new Error(`${words.join(" ")}: ${done.stdout}${done.stderr}`);
  return done.stdout;
};
run("--demo", "shelf", "export", join(folder, "list.csv"));
run("--shop", shop, "shelf", "import", join(folder, "list.csv"));

const child = spawn(
  program,
  ["serve", "--shop", shop, "--port", "0", "--public", "127.0.0.1:0", "--proxy", "127.0.0.1", "--log", "error"],
  { stdio: ["ignore", "pipe", "inherit"] },
);
const [owner, open] = await new Promise((arrived, failed) => {
  let said = "";
  child.once("exit", () => failed(new Error(`the server ended: ${said}`)));
  child.stdout.on("data", (chunk) => {
    said += chunk;
    const found = said.match(/http:\/\/127\.0\.0\.1:\d+/g) ?? [];
    const sides = [...new Set(found)];
    if (sides.length > 1) arrived(/public side is at (http:\/\/[\d.:]+)/.exec(said)?.[1] === sides[0] ? [sides[1], sides[0]] : sides);
  });
});
const memory = () => {
  const text = readFileSync(`/proc/${child.pid}/status`, "utf8");
  return Math.round(Number(/VmRSS:\s+(\d+)/.exec(text)[1]) / 1024);
};

const list = [
  "code,shape,diameter (mm),thickness (mm),grade,coating,stock,price 1",
  ...Array.from({ length: LINES }, (_, k) => `L-${k},disc,${5 + (k % 60)},${1 + (k % 17)},N42,Ni-Cu-Ni,${k % 500},${((k % 900) + 10) / 100}`),
].join("\n");
writeFileSync(join(folder, "long.csv"), list);

const took = { known: [], new: [] };
const statuses = { known: {}, new: {} };
let late = 0;
let start = 0;
/** The longest that a question took that was asked in that second. */
const longest = [];
/** Whether a question is one that nobody has asked, spread evenly. */
const isNew = (k) => Math.floor(((k + 1) * Number(fresh)) / 1000) > Math.floor((k * Number(fresh)) / 1000);
async function question(k) {
  const kind = isNew(k) ? "new" : "known";
  const words = kind === "new" ? `hold ${1000 + k} g hanging below 3 mm steel` : WORDS[k % WORDS.length];
  const from = `10.${(k >> 16) & 255}.${(k >> 8) & 255}.${k & 255}`;
  const begun = performance.now();
  let status;
  try {
    const reply = await fetch(`${open}/api/ask`, {
      method: "POST",
      headers: { "content-type": "application/json", "x-forwarded-for": from },
      body: JSON.stringify({ words }),
    });
    await reply.arrayBuffer();
    status = reply.status;
  } catch (error) {
    status = error.cause?.code ?? error.message;
  }
  statuses[kind][status] = (statuses[kind][status] ?? 0) + 1;
  const ms = performance.now() - begun;
  took[kind].push(ms);
  const second = Math.floor((begun - start) / 1000);
  longest[second] = Math.max(longest[second] ?? 0, ms);
}

const others = {};
async function asOwner(name, path, body, type) {
  const begun = performance.now();
  const reply = await fetch(owner + path, { method: "POST", headers: { "content-type": type }, body });
  const text = await reply.text();
  others[name] = `${reply.status} after ${((performance.now() - begun) / 1000).toFixed(1)} s${reply.ok ? "" : ` ${text.slice(0, 200)}`}`;
}
const steel = (k) =>
  JSON.stringify({
    magnet: { diameter_mm: 20 + k, thickness_mm: 5, polarisation_T: 1.3 },
    plate: { diameter_mm: 60, thickness_mm: 2 },
    gap_mm: 0.5,
  });

// Those that are known have been asked before.
for (const words of WORDS)
  await fetch(`${open}/api/ask`, {
    method: "POST",
    headers: { "content-type": "application/json", "x-forwarded-for": "10.255.0.1" },
    body: JSON.stringify({ words }),
  });
const before = memory();
const owners = [
  asOwner("import", "/api/shelf/import?name=long.csv&confirmed=true", list, "application/octet-stream"),
  ...Array.from({ length: SOLVES }, (_, k) => asOwner(`solve ${k + 1}`, "/api/field/steel", steel(k), "application/json")),
].map((work) => work.catch((error) => (others[`failed ${error.message}`] = error.cause?.code ?? "")));
const held = [];
const watch = setInterval(() => held.push(memory()), 10_000);
const waiting = [];
start = performance.now();
const all = Number(seconds) * Number(rate);
for (let k = 0; k < all; k += 1) {
  const due = start + (k * 1000) / Number(rate);
  const early = due - performance.now();
  if (early > 1) await pause(early);
  else if (early < -50) late += 1;
  waiting.push(question(k));
}
await Promise.all([...waiting, ...owners]);
const after = memory();
clearInterval(watch);
child.kill();
rmSync(folder, { recursive: true, force: true });

console.log(`${all} questions, ${rate} a second; ${late} left late`);
for (const [kind, times] of Object.entries(took)) {
  if (times.length === 0) continue;
  times.sort((a, b) => a - b);
  const at = (part) => times[Math.min(times.length - 1, Math.floor(part * times.length))].toFixed(0);
  console.log(`${kind}: ${times.length}: ${JSON.stringify(statuses[kind])}`);
  console.log(`  median ${at(0.5)} ms, 90 % ${at(0.9)} ms, 99 % ${at(0.99)} ms, longest ${at(1)} ms`);
}
const slowest = longest.map((ms, at) => [at, ms]).sort((a, b) => b[1] - a[1]);
console.log(`slowest seconds: ${slowest.slice(0, 8).map(([at, ms]) => `${at} s: ${ms.toFixed(0)} ms`).join(", ")}`);
console.log(`memory ${before} MiB before, ${after} MiB after; every 10 s: ${held.join(" ")}`);
for (const [name, said] of Object.entries(others)) console.log(`${name}: ${said}`);
