// A stand-in for the program: serves a built page and invented answers, under the policy that the page must run under.
// For working on the page and for its tests; `node tests/mock/server.mjs [folder of the built page] [port]`.
import { createServer } from 'node:http';
import { readFile } from 'node:fs/promises';
import { extname, join, normalize } from 'node:path';
import { fileURLToPath } from 'node:url';
import { answer, detail, judge, START, wordsOf } from './answers.mjs';
import { BAD_PREVIEW, item, ladder, LADDER_START, PREVIEW, shelf } from './rest.mjs';

const POLICY =
  "default-src 'self'; style-src 'self' 'unsafe-inline'; img-src 'self' data: blob:; frame-ancestors 'none'; base-uri 'none'";
const TYPES = {
  '.html': 'text/html',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.svg': 'image/svg+xml',
  '.woff2': 'font/woff2',
};
const VERBS = ['hold', 'pull_together', 'push_apart', 'reach_field', 'switch_sensor', 'face_field'];
const VERB_TEXTS = ['hold', 'pull together', 'push apart', 'reach a field', 'switch a sensor', 'make a face field'];
const SHOP = {
  name: 'Tray & Pole, demo shop',
  currency: 'EUR',
  demo: true,
  version: '0.1.0',
  revision: 12,
  items: 642,
  verbs: VERBS.map((verb, at) => ({ verb, text: VERB_TEXTS[at] })),
  layers: ['paint', 'wood', 'card', 'acrylic', 'air'],
  steels: ['mild steel', 'stainless 430', 'cast iron'],
  grades: ['N35', 'N42', 'N52'],
  families: ['neodymium', 'ferrite'],
  example: 'hold 2 kg hanging below 3 mm steel through 0.4 mm paint, 60 °C, max 25 mm, 200 pcs',
};

export function start({ page = fileURLToPath(new URL('../../dist/', import.meta.url)), port = 0 } = {}) {
  const kept = new Map();
  const gone = new Map();
  let made = 0;

  const keep = (question) => {
    const known = [...kept].find(([, entry]) => JSON.stringify(entry) === JSON.stringify(question));
    const id = known?.[0] ?? `k${(++made).toString(36)}f9a2c1`;
    kept.set(id, question);
    return id;
  };

  function ask(body, units) {
    let question = body.question;
    let unknown = [];
    if (body.words !== undefined) {
      const load = /(\d+(?:[.,]\d+)?)\s*(kg|g|N|lb)\b/.exec(body.words);
      if (!load)
        return [
          422,
          {
            title: 'words not understood',
            status: 422,
            detail: 'the load is missing: say how much must be held',
            field: null,
            span: null,
            hint: 'such as hold 2 kg',
          },
        ];
      unknown = body.words.match(/\b(pls|thx|asap)\b/g) ?? [];
      question = { ...START, need: { ...START.need, load: load[0] } };
    }
    for (const path of [
      '/need/load',
      '/need/field',
      '/need/distance',
      '/conditions/warmest',
      '/limits/widest',
      '/limits/tallest',
      '/limits/hole',
      '/limits/mass',
    ]) {
      const [, group, name] = path.split('/');
      const problem = judge(path, question[group]?.[name]);
      if (problem) return [422, problem];
    }
    const id = keep(question);
    return [200, answer(question, units, { id, words: body.words ?? null, unknown })];
  }

  const entries = () =>
    [...kept].map(([id, question]) => ({
      id,
      asked_at: '2026-11-25T10:00:00Z',
      words: wordsOf(question),
      lead: 'One disc of 15 × 5 mm, N40, holds 34 N there.',
      pieces: question.pieces,
    }));
  const notFound = (what) => [
    404,
    { title: 'not found', status: 404, detail: `there is no ${what}`, field: null, span: null, hint: null },
  ];

  async function api(method, path, params, body) {
    const units = params.get('units') ?? 'metric';
    const [head, key, tail, index] = path.split('/').map(decodeURIComponent);
    if (path === 'shop') return [200, SHOP];
    if (path === 'start') {
      const verb = params.get('verb');
      return [
        200,
        { question: verb === 'hold' ? START : { ...START, need: { verb, field: '50 mT', distance: '10 mm' } } },
      ];
    }
    if (path === 'ask') return ask(JSON.parse(body), units);
    if (head === 'answers' && kept.has(key)) {
      if (tail === 'candidates') return [200, detail(Number(index), units)];
      return [200, { ...answer(kept.get(key), units, { id: key }), stale: true }];
    }
    if (head === 'answers') return notFound(`answer ${key}`);
    if (head === 'items') return item(key, units) ? [200, item(key, units)] : notFound(`item ${key} on the shelf`);
    if (path === 'ladder/start') return [200, LADDER_START];
    if (path === 'ladder') return [200, ladder(JSON.parse(body), units)];
    if (path === 'shelf') return [200, shelf(params)];
    if (path === 'shelf/preview') return [200, body.includes('-3') ? BAD_PREVIEW : PREVIEW];
    if (path === 'shelf/import') return [200, { revision: 13, new: 100, changed: 20, unchanged: 3 }];
    if (path === 'shelf/undo') return [200, { revision: 14 }];
    if (path === 'desk') return [200, { entries: entries() }];
    if (head === 'desk' && method === 'DELETE') {
      gone.set(key, kept.get(key));
      kept.delete(key);
      return [204];
    }
    if (head === 'desk' && tail === 'restore') {
      kept.set(key, gone.get(key));
      return [204];
    }
    return notFound(path);
  }

  const server = createServer(async (request, response) => {
    const url = new URL(request.url, 'http://localhost');
    if (url.pathname.startsWith('/api/')) {
      const chunks = [];
      for await (const chunk of request) chunks.push(chunk);
      const [status, value] = await api(
        request.method,
        url.pathname.slice(5),
        url.searchParams,
        Buffer.concat(chunks).toString(),
      );
      response.writeHead(status, { 'content-type': status < 400 ? 'application/json' : 'application/problem+json' });
      return response.end(value === undefined ? '' : JSON.stringify(value));
    }
    const name = url.pathname === '/' ? 'index.html' : normalize(url.pathname).slice(1);
    try {
      const file = await readFile(join(page, name));
      response.writeHead(200, {
        'content-type': TYPES[extname(name)] ?? 'application/octet-stream',
        'content-security-policy': POLICY,
      });
      response.end(file);
    } catch {
      response.writeHead(404).end('not found');
    }
  });
  return new Promise((resolve) =>
    server.listen(port, '127.0.0.1', () => resolve({ server, address: `http://127.0.0.1:${server.address().port}/` })),
  );
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { address } = await start({ page: process.argv[2], port: Number(process.argv[3] ?? 7415) });
  console.log(`page with invented answers at ${address}`);
}
