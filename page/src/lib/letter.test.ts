import { expect, test } from 'vitest';
import { htmlOf, mailAddress } from './letter';

test('text becomes paragraphs that mean themselves', () => {
  expect(htmlOf('Hello,\n\nfield < 5 mT & "less"\nsecond line\n')).toBe(
    '<p>Hello,</p>\n<p>field &lt; 5 mT &amp; &quot;less&quot;<br>\nsecond line</p>\n',
  );
});

test('a mail address holds lines, ampersands and other letters whole', () => {
  const address = mailAddress('5 × 3 & more', 'Hello,\n\nπ=3 ?');
  expect(address).toBe('mailto:?subject=5%20%C3%97%203%20%26%20more&body=Hello%2C%0D%0A%0D%0A%CF%80%3D3%20%3F');
});
