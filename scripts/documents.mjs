// Keeps the documents true.
//   documents.mjs --links            every relative link leads somewhere
//   documents.mjs --check PROGRAM    and every example prints what the document says, every command and route is told of
//   documents.mjs --write PROGRAM    writes down what the examples print now; the rest is checked as above
//
// An example is a block marked `console`: lines that begin with "$ " are run, with those that follow it after "> ";
// the lines below are what they print. All blocks of a document share one folder. `console show=1-9,14-20` keeps only these lines of what is printed, with "..." between.
// A document that calls http://127.0.0.1:7415 finds the demo shop there.
import { spawn, spawnSync } from "node:child_process";
import {
  existsSync,
  mkdtempSync,
  readFileSync,
  readdirSync,
  rmSync,
  symlinkSync,
  writeFileSync,
  mkdirSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";

const ROOT = fileURLToPath(new URL("..", import.meta.url));
const SKIPPED = new Set([
  "node_modules",
  "target",
  "dist",
  ".git",
  "corpus",
  "artifacts",
]);
const ADDRESS = "127.0.0.1:7415";
// Times differ from run to run; the documents have this one.
const TIME = [/\b\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ/g, "2026-01-15T09:30:00Z"];
// Nobody can guess an id; the documents have this one.
const ID = [/\b[0-9a-hjkmnp-tv-z]{26}\b/g, "7xk2m9qd4hv8w3tn6rb5pc0yje"];

const faults = [];
const counts = { documents: 0, links: 0, examples: 0, commands: 0, routes: 0 };

function documents(folder = ROOT) {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) => {
    if (SKIPPED.has(entry.name)) return [];
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return documents(path);
    return entry.name.endsWith(".md") ? [path] : [];
  });
}

const name = (path) => relative(ROOT, path);
const withoutCode = (text) =>
  text.replace(/^```[\s\S]*?^```/gm, "").replace(/`[^`\n]*`/g, "");

/** The anchors of a document, as hosts of repositories make them from its headings. */
function anchors(text) {
  const headings = text
    .replace(/^```[\s\S]*?^```/gm, "")
    .matchAll(/^#+ +(.+)$/gm);
  return new Set(
    [...headings].map(([, heading]) =>
      heading
        .toLowerCase()
        .replace(/[^\p{L}\p{N} _-]/gu, "")
        .trim()
        .replace(/ /g, "-"),
    ),
  );
}

function checkLinks(path, text) {
  for (const [, target] of withoutCode(text).matchAll(/\]\(([^)\s]+)\)/g)) {
    if (/^[a-z]+:/.test(target)) continue;
    counts.links += 1;
    const [file, anchor] = target.split("#");
    const to = file ? resolve(dirname(path), file) : path;
    if (!existsSync(to)) faults.push(`${name(path)}: nothing is at ${target}`);
    else if (anchor && !anchors(readFileSync(to, "utf8")).has(anchor)) {
      faults.push(`${name(path)}: no heading makes the anchor of ${target}`);
    }
  }
}

/** The lines that `show=` keeps. */
function shown(lines, ranges) {
  if (!ranges) return lines;
  const out = [];
  let last = 0;
  for (const range of ranges.split(",")) {
    const [from, to = from] = range.split("-").map(Number);
    if (from > last + 1) out.push("...");
    out.push(...lines.slice(from - 1, to));
    last = to;
  }
  if (last < lines.length) out.push("...");
  return out;
}

/** Runs the commands of a block and gives it as it would be written today. */
function played(body, ranges, run) {
  const out = [];
  const lines = body.split("\n");
  for (let at = 0; at < lines.length; at += 1) {
    if (!lines[at].startsWith("$ ")) continue;
    const command = [lines[at].slice(2)];
    out.push(lines[at]);
    while (lines[at + 1]?.startsWith("> ")) {
      at += 1;
      command.push(lines[at].slice(2));
      out.push(lines[at]);
    }
    counts.examples += 1;
    const printed = run(command.join("\n"))
      .replace(/[ \t]+$/gm, "")
      .replace(/\n+$/, "");
    if (printed) out.push(...shown(printed.split("\n"), ranges));
  }
  return out.join("\n");
}

async function withServer(program, job) {
  const child = spawn(program, ["serve", "--demo", "--port", "0"], {
    stdio: ["ignore", "pipe", "inherit"],
  });
  try {
    const address = await new Promise((found, failed) => {
      let said = "";
      child.once("error", failed);
      child.once("exit", () => failed(new Error(`the server ended: ${said}`)));
      child.stdout.on("data", (chunk) => {
        said += chunk;
        const at = /http:\/\/(127\.0\.0\.1:\d+)\//.exec(said);
        if (at) found(at[1]);
      });
    });
    return job(address);
  } finally {
    child.kill();
  }
}

async function play(path, text, program, write) {
  if (!/^```console/m.test(text)) return;
  const folder = mkdtempSync(join(tmpdir(), "documents-"));
  const bin = join(folder, ".bin");
  mkdirSync(bin);
  symlinkSync(program, join(bin, "lodewright"));
  const work = (address) => {
    const run = (command) => {
      const done = spawnSync(
        "bash",
        ["-c", `exec 2>&1\n${command.replaceAll(ADDRESS, address)}`],
        {
          cwd: folder,
          encoding: "utf8",
          env: {
            PATH: `${bin}:${process.env.PATH}`,
            HOME: folder,
            LANG: "C.UTF-8",
            NO_COLOR: "1",
            COLUMNS: "80",
          },
          timeout: 60_000,
        },
      );
      return done.stdout
        .replaceAll(address, ADDRESS)
        .replace(...TIME)
        .replace(...ID);
    };
    return text.replace(
      /^```console(?: show=(\S+))?\n([\s\S]*?)^```$/gm,
      (block, ranges, body) => {
        const today = played(body, ranges, run);
        const head = block.slice(0, block.indexOf("\n"));
        if (!write && today !== body.trimEnd()) {
          faults.push(
            `${name(path)}: an example prints something else now\n${difference(body.trimEnd(), today)}`,
          );
        }
        return `${head}\n${today}\n\`\`\``;
      },
    );
  };
  try {
    const today = text.includes(ADDRESS)
      ? await withServer(program, work)
      : work(ADDRESS);
    if (write && today !== text) writeFileSync(path, today);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** The first lines that differ. */
function difference(before, after) {
  const [old, now] = [before.split("\n"), after.split("\n")];
  const at = old.findIndex((line, k) => line !== now[k]);
  const first = at < 0 ? old.length : at;
  const cut = (lines, sign) =>
    lines.slice(first, first + 3).map((line) => `    ${sign} ${line}`);
  return [`    ${old[0]}`, ...cut(old, "-"), ...cut(now, "+")].join("\n");
}

/** All commands of the program, each with its words, from its own help. */
function commands(program, words = []) {
  const help = spawnSync(program, [...words, "--help"], {
    encoding: "utf8",
  }).stdout;
  const list = /^Commands:\n((?: .*\n|\n(?= ))+)/m.exec(help);
  if (!list) return [words.join(" ")];
  const names = [...list[1].matchAll(/^ {2}([a-z][a-z-]*)/gm)]
    .map(([, word]) => word)
    .filter((word) => word !== "help");
  return names.flatMap((word) => commands(program, [...words, word]));
}

function checkTold(program, texts) {
  const all = texts.join("\n");
  for (const command of commands(program)) {
    counts.commands += 1;
    const [first, ...rest] = command.split(" ");
    const told = new RegExp(
      `lodewright (--[a-z]+ (\\S+ )?)*${[first, ...rest].join(" ")}\\b`,
    );
    if (!told.test(all))
      faults.push(`no document tells of \`lodewright ${command}\``);
  }
  const described = JSON.parse(
    spawnSync(program, ["openapi"], { encoding: "utf8", maxBuffer: 1 << 26 })
      .stdout,
  );
  for (const route of Object.keys(described.paths)) {
    counts.routes += 1;
    if (!all.includes(route))
      faults.push(`no document tells of the route ${route}`);
  }
}

const [mode, given] = process.argv.slice(2);
if (
  !["--links", "--check", "--write"].includes(mode) ||
  (mode !== "--links" && !given)
) {
  console.error(
    "usage: documents.mjs --links | --check PROGRAM | --write PROGRAM",
  );
  process.exit(2);
}
const paths = documents();
counts.documents = paths.length;
for (const path of paths) {
  const text = readFileSync(path, "utf8");
  checkLinks(path, text);
  if (mode !== "--links")
    await play(path, text, resolve(given), mode === "--write");
}
if (mode !== "--links")
  checkTold(
    resolve(given),
    paths.map((path) => readFileSync(path, "utf8")),
  );

for (const fault of faults) console.error(fault);
const said = Object.entries(counts)
  .filter(([, count]) => count > 0)
  .map(([what, count]) => `${count} ${what}`);
console.log(
  `documents: ${said.join(", ")}: ${faults.length ? `${faults.length} faults` : "all hold"}`,
);
process.exit(faults.length ? 1 : 0);
