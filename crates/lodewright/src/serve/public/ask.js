'use strict';
const form = document.getElementById('form');
const words = document.getElementById('words');
const keep = document.getElementById('keep');
const place = document.getElementById('answer');

// The looks that the page around this one asks for; what is no colour and no typeface is left.
const looks = new URLSearchParams(location.search);
for (const [name, property] of Object.entries({ ground: 'color', ink: 'color', accent: 'color', onAccent: 'color', font: 'font-family' })) {
  const value = looks.get(name);
  if (value && !value.includes('(') && CSS.supports(property, value)) document.documentElement.style.setProperty(`--${name}`, value);
}

function add(tag, text, kind) {
  const made = document.createElement(tag);
  made.textContent = text;
  if (kind) made.className = kind;
  place.append(made);
  return made;
}

function link(to, text) {
  const a = document.createElement('a');
  a.href = to;
  a.target = '_blank';
  a.rel = 'noopener';
  a.textContent = text;
  return a;
}

function list(heading, lines) {
  if (lines.length === 0) return;
  add('h2', heading);
  const ul = add('ul', '');
  for (const line of lines) {
    const li = document.createElement('li');
    li.textContent = line.text ?? line;
    if (line.sheet) li.append(' ', link(line.sheet, line.sheet_text));
    ul.append(li);
  }
}

function show(answer) {
  place.replaceChildren();
  if (answer.words) add('p', answer.words);
  add('p', answer.lead, 'lead');
  list(answer.asks_heading, answer.asks);
  list(answer.offers_heading, answer.offers);
  list(answer.cautions_heading, answer.cautions);
  if (answer.link) {
    add('p', '').append(link(answer.link, answer.link_text));
  }
  tell();
}

function fail(text) {
  place.replaceChildren();
  add('p', text, 'problem');
  tell();
}

// The page around this one learns how high it is, and nothing else.
function tell() {
  if (window.parent !== window) window.parent.postMessage({ lodewrightHeight: document.documentElement.scrollHeight }, '*');
}

async function fetched(path, options) {
  try {
    const reply = await fetch(path, options);
    const value = await reply.json();
    if (reply.ok) show(value);
    else fail(value.hint ? `${value.detail}: ${value.hint}` : value.detail);
  } catch {
    fail('The shop cannot be reached. Try again in a while.');
  }
}

form.addEventListener('submit', (event) => {
  event.preventDefault();
  place.replaceChildren();
  add('p', 'Working it out …');
  fetched('/api/ask', {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ words: words.value, keep: keep.checked }),
  });
});

const opened = location.pathname.match(/^\/answers\/([a-z0-9]+)$/);
if (opened) {
  form.hidden = true;
  fetched(`/api/answers/${opened[1]}`);
}
tell();
