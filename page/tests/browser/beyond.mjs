/**
 * What of the page lies beyond its right edge, or is cut off inside something that shows only a part of it. Runs in the
 * browser.
 */
export const beyond = () =>
  [...document.querySelectorAll('main *')]
    .filter((part) => part.checkVisibility() && !part.closest('.unseen, .no-print, dialog, input'))
    .filter((part) => {
      if (part instanceof SVGElement && !['svg', 'text'].includes(part.tagName)) return false;
      const { right, width } = part.getBoundingClientRect();
      const hides = part instanceof HTMLElement && getComputedStyle(part).overflowX !== 'visible';
      return width > 0 && (right > innerWidth + 1 || (hides && part.scrollWidth > part.clientWidth + 1));
    })
    .map((part) => `${part.tagName} ${part.getAttribute('class') ?? ''}: ${part.textContent?.trim().slice(0, 50)}`);
