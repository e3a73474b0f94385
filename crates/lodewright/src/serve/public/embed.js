// Puts the shop's ask box where this script stands: <script src="https://ask.example/embed.js"></script>
// Themed by data-ground, data-ink, data-accent, data-on-accent (colours), data-font, data-title.
(() => {
  const script = document.currentScript;
  const frame = document.createElement('iframe');
  const address = new URL('/', script.src);
  for (const part of ['ground', 'ink', 'accent', 'onAccent', 'font']) {
    if (script.dataset[part]) address.searchParams.set(part, script.dataset[part]);
  }
  frame.src = address.href;
  frame.title = script.dataset.title || 'Which magnet will do?';
  frame.loading = 'lazy';
  frame.style.cssText = 'width:100%;border:0;min-height:22rem';
  script.after(frame);
  addEventListener('message', (event) => {
    const height = event.data && event.data.lodewrightHeight;
    if (event.origin === address.origin && event.source === frame.contentWindow && height > 0) {
      frame.style.height = `${Math.min(height, 4000)}px`;
    }
  });
})();
