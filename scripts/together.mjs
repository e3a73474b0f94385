// Two servers and two terminals that write to one shop for a while, each as fast as it can or with a pause after every turn.
//   together.mjs PROGRAM [SECONDS] [PAUSE_MS]
// It fails where anything is refused or lost: every answer, reading and import that was acknowledged must be in the shop at the end.
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";

const [given, seconds = "600", pause = "0"] = process.argv.slice(2);
if (!given) {
  console.error("usage: together.mjs PROGRAM [SECONDS] [PAUSE_MS]");
  process.exit(2);
}
const program = resolve(given);
const folder = mkdtempSync(join(tmpdir(), "together-"));
const shop = join(folder, "shop.sqlite");
const until = Date.now() + Number(seconds) * 1000;
const faults = [];
const done = {};
const acknowledged = { answers: [], readings: [], prices: {} };
const count = (what) => (done[what] = (done[what] ?? 0) + 1);

const must = (...words) => {
  const ran = spawnSync(program, ["--shop", shop, ...words], { encoding: "utf8", maxBuffer: 1 << 28 });
  if (ran.status !== 0) throw new Error(`${words.join(" ")}: ${ran.stdout}${ran.stderr}`);
  return ran.stdout;
};
/** Runs the program beside everything else; what it said, or nothing where it failed. */
const run = (words) =>
  new Promise((end) => {
    const child = spawn(program, ["--shop", shop, ...words], { stdio: ["ignore", "pipe", "pipe"] });
    let [out, said] = ["", ""];
    child.stdout.on("data", (chunk) => (out += chunk));
    child.stderr.on("data", (chunk) => (said += chunk));
    child.once("close", (code) => {
      if (code !== 0) faults.push(`${words.join(" ")}: ${code} ${said.slice(0, 300)}`);
      end(code === 0 ? out : null);
    });
  });
function serve() {
  const child = spawn(program, ["--shop", shop, "serve", "--port", "0", "--log", "error"], { stdio: ["ignore", "pipe", "inherit"] });
  return new Promise((arrived, failed) => {
    let said = "";
    child.once("exit", () => failed(new Error(`the server ended: ${said}`)));
    child.stdout.on("data", (chunk) => {
      said += chunk;
      const found = /http:\/\/127\.0\.0\.1:\d+/.exec(said);
      if (found) arrived({ address: found[0], child });
    });
  });
}
/** Sends JSON, or a file as it is; what came back, or nothing where it was refused. */
async function send(server, method, path, body) {
  const text = typeof body === "string" ? body : JSON.stringify(body);
  try {
    const reply = await fetch(server.address + path, { method, headers: { "content-type": "application/json" }, body: text });
    const back = await reply.text();
    if (reply.ok) return back === "" ? {} : JSON.parse(back);
    faults.push(`${method} ${path}: ${reply.status} ${back.slice(0, 300)}`);
  } catch (error) {
    faults.push(`${method} ${path}: ${error.cause?.code ?? error.message}`);
  }
  return null;
}
/** A list of a writer's own items, all at one price. */
const list = (who, cents) =>
  [
    "code,shape,diameter (mm),thickness (mm),grade,coating,stock,price 1",
    ...Array.from({ length: 50 }, (_, k) => `${who}-${k},disc,15,5,N42,Ni-Cu-Ni,10,${(cents / 100).toFixed(2)}`),
  ].join("\n");

const rest = () => new Promise((end) => setTimeout(end, Number(pause)));

async function atServer(server, who, session) {
  for (let k = 0; Date.now() < until; k += 1) {
    const answer = await send(server, "POST", "/api/ask", { words: `hold ${100 + (k % 900)} g on steel`, keep: true });
    if (answer) acknowledged.answers.push(answer.id);
    count("answers by servers");
    const id = `${who}-${k}`;
    const reading = { id, value: "391 mT", place: { pieces: 1 } };
    if (await send(server, "POST", `/api/bench/sessions/${session}/readings`, reading)) acknowledged.readings.push(id);
    count("readings");
    await rest();
    if (k % 5 > 0) continue;
    const cents = 100 + (k % 800);
    if (await send(server, "POST", `/api/shelf/import?name=${who}.csv&confirmed=true`, list(who, cents))) acknowledged.prices[who] = cents;
    count("imports by servers");
  }
}
async function atTerminal(who) {
  const file = join(folder, `${who}.csv`);
  for (let k = 0; Date.now() < until; k += 1) {
    const answer = await run(["--json", "ask", "--keep", `hold ${100 + (k % 900)} g on steel`]);
    if (answer) acknowledged.answers.push(JSON.parse(answer).id);
    count("answers by terminals");
    await rest();
    if (k % 5 > 0) continue;
    const cents = 100 + (k % 800);
    writeFileSync(file, list(who, cents));
    if ((await run(["shelf", "import", file, "--confirm"])) !== null) acknowledged.prices[who] = cents;
    count("imports by terminals");
  }
}

must("shelf", "settings", "--name", "Together");
writeFileSync(join(folder, "first.csv"), list("first", 95));
must("shelf", "import", join(folder, "first.csv"));
const servers = [await serve(), await serve()];
const probe = { name: "pen", depth: "0.5 mm", depth_within: "0.3 mm", element: "0.8 mm", accuracy: 1.5, resolution: "0.1 mT", calibrated: "spring" };
await send(servers[0], "PUT", "/api/bench/probes/p", probe);
await send(servers[0], "POST", "/api/bench/probes/p/usual", "");
for (const session of ["s1", "s2"]) await send(servers[0], "POST", "/api/bench/sessions", { id: session, magnet: { code: "first-0" }, lot: session });
await Promise.all([atServer(servers[0], "w1", "s1"), atServer(servers[1], "w2", "s2"), atTerminal("w3"), atTerminal("w4")]);

const read = async (path) => (await fetch(servers[0].address + path)).json();
const there = new Set((await Promise.all(["s1", "s2"].map((id) => read(`/api/bench/sessions/${id}`)))).flatMap((s) => s.rows.map((row) => row.id)));
const lost = acknowledged.readings.filter((id) => !there.has(id));
for (const id of acknowledged.answers) if (!(await fetch(`${servers[1].address}/api/answers/${id}`)).ok) lost.push(id);
for (const [who, cents] of Object.entries(acknowledged.prices))
  for (const k of [0, 49]) {
    const { prices } = await read(`/api/items/${who}-${k}`);
    if (!prices[0].each.includes((cents / 100).toFixed(2))) lost.push(`${who}-${k}: ${prices[0].each} for ${cents} ct`);
  }
for (const { child } of servers) child.kill();
const whole = must("shelf", "check").trim();
rmSync(folder, { recursive: true, force: true });

console.log(`two servers and two terminals for ${seconds} s: ${JSON.stringify(done)}`);
console.log(`${faults.length} refused or failed, ${lost.length} lost; ${whole}`);
for (const fault of [...faults.slice(0, 10), ...lost.slice(0, 10)]) console.log(`  ${fault}`);
process.exit(faults.length + lost.length > 0 ? 1 : 0);
