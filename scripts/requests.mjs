// Sends requests made from the description of the interface, well and badly formed, to a server of the demo shop of its own.
//   requests.mjs PROGRAM [COUNT] [SEED]
// Every one must be answered, with what the description promises: JSON or the file that was asked for, or a problem that
// says what would be right; never with a fault of the server. The same seed gives the same requests. Ended with Ctrl-C it says
// what it has seen by then.
import { spawn, spawnSync } from "node:child_process";
import { resolve } from "node:path";

const [given, count = "2000", seed = "1"] = process.argv.slice(2);
if (!given) {
  console.error("usage: requests.mjs PROGRAM [COUNT] [SEED]");
  process.exit(2);
}
const PROGRAM = resolve(given);
const COUNT = Number(count);
/** How many requests are under way at a time. */
const AT_ONCE = 4;
/** What no request may take, ms: the longest limit of the server is that of solves with steel. */
const PATIENCE = 330_000;
/** How deep values are made. */
const DEEPEST = 6;

let state = Number(seed) >>> 0;
/** A number from 0 to 1; mulberry32 (T. Ettinger, 2017, public domain; from memory). */
function random() {
  state = (state + 0x6d2b79f5) >>> 0;
  let t = Math.imul(state ^ (state >>> 15), 1 | state);
  t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
  return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
}
const below = (n) => Math.floor(random() * n);
const pick = (list) => list[below(list.length)];
const chance = (part) => random() < part;

const TEXTS = [
  "hold 2 kg hanging below 3 mm steel",
  "reach 5 mT at 30 mm, up to 80 °C",
  "20 mm",
  "1/2 in",
  "-3 kg",
  "1e308 m",
  "5 %",
  "mild steel",
  "N42",
  "disc",
  "01-05",
  "wood",
  "hold",
  "reach_field",
  "EUR",
  "0.80 EUR",
  "2026-02-30",
  "2026-05-21",
  "mm,lbf,G",
  "inch",
  "=1+1",
  "<script>",
  "\u202eabc\u0000",
  "😀".repeat(40),
  "x".repeat(5000),
  "",
  " ",
  "null",
  "../../etc/passwd",
];
const NUMBERS = [0, 1, -1, 2, 5, 20, 0.5, 1e-9, 1e9, -0.0, 1e200, 1e308, 2 ** 53, 65536];

/** What a property of this name commonly holds. */
const USUAL = [
  [/words|text|enquiry/, ["hold 2 kg hanging below 3 mm steel", "reach 5 mT at 30 mm, up to 80 °C", "does N52 rust?"]],
  [/verb/, ["hold", "pull_together", "push_apart", "reach_field", "switch_sensor", "face_field"]],
  [/kind/, ["choose", "tell", "compare", "explain", "refuse", "face", "pull"]],
  [/shape/, ["disc", "ring", "block", "sphere"]],
  [/grade/, ["N42", "N52", "Y30"]],
  [/coating/, ["nickel", "epoxy"]],
  [/material|steel/, ["mild steel", "paint", "wood"]],
  [/units/, ["metric", "inch"]],
  [/unit/, ["mm", "G", "mT"]],
  [/status/, ["open", "sent"]],
  [/currency/, ["EUR"]],
  [/level/, ["II"]],
  [/about/, ["pull", "field", "heat"]],
  [/load|force/, ["2 kg", "20 N"]],
  [/field|operate|release/, ["5 mT", "50 G"]],
  [/temperature|warmest|coldest/, ["60 °C"]],
  [/thickness|distance|gap|near|far|size|width|depth/, ["20 mm", "1/2 in", "3 mm"]],
  [/day|date|due|follow/, ["2026-05-21"]],
  [/code/, ["01-05", "05-03", "16-08"]],
];

/** Ids and codes that earlier replies named. */
const known = [
  "01-05",
  "05-03",
  "7xk2m9qd4hv8w3tn6rb5pc0yje",
  "8xk2m9qd4hv8w3tn6rb5pc0yje",
  "9xk2m9qd4hv8w3tn6rb5pc0yje",
  "nothing",
];
function remember(value, depth = 0) {
  if (value === null || typeof value !== "object" || depth > 3) return;
  for (const [key, inner] of Object.entries(value)) {
    if (["id", "code", "number", "name"].includes(key) && typeof inner === "string" && inner.length < 60) {
      if (known.length < 400) known.push(inner);
      else known[6 + below(394)] = inner;
    } else remember(inner, depth + 1);
  }
}

const described = JSON.parse(spawnSync(PROGRAM, ["openapi"], { encoding: "utf8", maxBuffer: 1 << 26 }).stdout);
const found = (schema) =>
  schema.$ref ? { ...described.components.schemas[schema.$ref.split("/").pop()], ...schema, $ref: undefined } : schema;

/** Any JSON value. */
function anything(depth) {
  const kinds = [
    () => pick(NUMBERS),
    () => pick(TEXTS),
    () => null,
    () => chance(0.5),
    () => Array.from({ length: below(4) }, () => anything(depth + 1)),
    () => ({ [pick(["need", "verb", "shape", "a", ""])]: anything(depth + 1) }),
  ];
  return pick(depth > 3 ? kinds.slice(0, 4) : kinds)();
}

/** A value of a schema; something else now and then. */
function made(schema, wild, depth = 0, name = "") {
  if (chance(wild)) return anything(depth);
  const it = found(schema);
  if (it.enum) return pick(it.enum);
  if (it.const !== undefined) return it.const;
  const among = it.oneOf ?? it.anyOf;
  if (among) return made(pick(among), wild, depth + 1, name);
  if (it.allOf) return Object.assign({}, ...it.allOf.map((part) => made(part, wild, depth + 1)));
  const type = Array.isArray(it.type) ? pick(it.type) : it.type;
  switch (type) {
    case "object": {
      const out = {};
      for (const [name, inner] of Object.entries(it.properties ?? {})) {
        const needed = (it.required ?? []).includes(name);
        if (needed ? chance(1 - wild) : chance(depth > DEEPEST ? 0 : 0.35)) out[name] = made(inner, wild, depth + 1, name);
      }
      if (chance(wild)) out.unheard_of = anything(depth);
      return out;
    }
    case "array":
      return Array.from({ length: depth > DEEPEST ? 0 : (it.minItems ?? below(4)) }, () =>
        made(it.items ?? {}, wild, depth + 1, name),
      );
    case "integer":
      return chance(0.8) ? below(30) : Math.trunc(pick(NUMBERS));
    case "number":
      return chance(0.7) ? Math.round(random() * 400) / 10 : pick(NUMBERS);
    case "boolean":
      return chance(0.5);
    case "null":
      return null;
    case "string": {
      const usual = USUAL.find(([names]) => names.test(name));
      if (usual && chance(0.8)) return pick(usual[1]);
      return chance(0.3) ? pick(known) : pick(TEXTS);
    }
    default:
      return anything(depth);
  }
}

/** What is sent to a route that takes a file. */
const FILES = [
  "code;shape;diameter mm;thickness mm;grade;coating;price EUR\nA1;disc;10;3;N42;nickel;0,50\n",
  "code,shape\n",
  "kind,value,unit\nface,3000,G\n",
  "\ufeff\u0000\u0001",
  "PK\u0003\u0004",
  "a,b\n".repeat(2000),
  "",
];

function request([path, method, operation]) {
  const wild = pick([0, 0, 0.02, 0.15]);
  let url = path.replace(/\{[^}]+\}/g, () => encodeURIComponent(chance(0.8) ? pick(known) : pick(TEXTS) || "-"));
  const query = new URLSearchParams();
  for (const parameter of operation.parameters ?? []) {
    if (parameter.in !== "query" || !(parameter.required || chance(0.3))) continue;
    const value = made(parameter.schema ?? {}, wild, 0, parameter.name);
    query.set(parameter.name, typeof value === "object" ? JSON.stringify(value) : String(value));
  }
  if ([...query].length) url += `?${query}`;
  const options = { method: method.toUpperCase(), headers: {} };
  const content = operation.requestBody?.content;
  if (content) {
    const [type, body] = Object.entries(content)[0];
    options.headers["content-type"] = type;
    if (type !== "application/json") options.body = pick(FILES);
    else {
      options.body = JSON.stringify(made(body.schema, wild));
      if (chance(0.02)) options.body = options.body.slice(0, below(options.body.length + 1));
    }
  }
  return { url, options };
}

/** What is wrong with a reply, or nothing. */
function fault(reply, text) {
  if (reply.status >= 500 && reply.status !== 503) return `answered with ${reply.status}`;
  const type = reply.headers.get("content-type") ?? "";
  if (reply.status >= 400) {
    if (!type.startsWith("application/problem+json")) return `${reply.status} that is no problem: ${type}`;
    const problem = JSON.parse(text);
    if (!(problem.title || problem.detail)) return `${reply.status} without a word`;
  } else if (type.includes("json") && text) remember(JSON.parse(text));
  return null;
}

async function started() {
  const child = spawn(PROGRAM, ["serve", "--demo", "--port", "0", "--log", "error"], {
    stdio: ["ignore", "pipe", "pipe"],
  });
  const said = { errors: "" };
  child.stderr.on("data", (chunk) => (said.errors += chunk));
  const address = await new Promise((arrived, failed) => {
    let out = "";
    child.once("exit", () => failed(new Error(`the server ended: ${out}${said.errors}`)));
    child.stdout.on("data", (chunk) => {
      out += chunk;
      const at = /http:\/\/127\.0\.0\.1:\d+/.exec(out);
      if (at) arrived(at[0]);
    });
  });
  return { child, address, said };
}

const operations = Object.entries(described.paths).flatMap(([path, methods]) =>
  Object.entries(methods)
    .filter(([method]) => ["get", "post", "put", "patch", "delete"].includes(method))
    .map(([method, operation]) => [path, method, operation]),
);

const { child, address, said } = await started();
const faults = new Map();
const statuses = {};
const reached = new Set();
let sent = 0;

let ending = false;
for (const signal of ["SIGINT", "SIGTERM"]) process.once(signal, () => (ending = true));

async function worker() {
  while (sent < COUNT && !ending) {
    // Each operation in its turn, so that none is left out.
    const operation = operations[sent % operations.length];
    sent += 1;
    const { url, options } = request(operation);
    const name = `${operation[1].toUpperCase()} ${operation[0]}`;
    let wrong;
    try {
      const reply = await fetch(address + url, { ...options, signal: AbortSignal.timeout(PATIENCE) });
      const text = await reply.text();
      statuses[reply.status] = (statuses[reply.status] ?? 0) + 1;
      if (reply.ok) reached.add(name);
      wrong = fault(reply, text);
      if (wrong) wrong += `: ${text.slice(0, 300)}`;
    } catch (error) {
      wrong = `not answered: ${error.cause?.message ?? error.message}`;
    }
    if (wrong && !faults.has(`${name} ${wrong.slice(0, 40)}`)) {
      faults.set(
        `${name} ${wrong.slice(0, 40)}`,
        `${name}: ${wrong}\n    ${url.slice(0, 400)}\n    ${(options.body ?? "").slice(0, 1500)}`,
      );
    }
  }
}

await Promise.all(Array.from({ length: AT_ONCE }, worker));
child.kill();
for (const text of faults.values()) console.error(text);
if (said.errors.includes("panicked")) console.error(said.errors.slice(0, 4000));
const wrong = faults.size + (said.errors.includes("panicked") ? 1 : 0);
console.log(
  `requests: ${sent} to ${operations.length} operations, ${reached.size} of them answered at least one: ${JSON.stringify(statuses)}: ${wrong ? `${wrong} faults` : "all hold"}`,
);
process.exit(wrong ? 1 : 0);
