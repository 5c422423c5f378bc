import { describe, expect, it } from 'vitest';
import { html, nameHtml } from '../../src/sheet/html.js';

describe('HTML from a template', () => {
  it('escapes what is put in, in text and in attributes', () => {
    const name = `<img src=x onerror="alert('1')">&`;
    expect(html`<td title="${name}">${name}</td>`.text).toBe(
      '<td title="&lt;img src=x onerror=&quot;alert(&#39;1&#39;)&quot;&gt;&amp;">' +
        '&lt;img src=x onerror=&quot;alert(&#39;1&#39;)&quot;&gt;&amp;</td>',
    );
  });

  it('keeps HTML that a template made, joins lists and drops what is not there', () => {
    expect(html`<ul>${[1, 2].map((n) => html`<li>${n}</li>`)}${null}${false}</ul>`.text).toBe(
      '<ul><li>1</li><li>2</li></ul>',
    );
  });
});

describe('a name from a file', () => {
  it('shows a direction mark as its escape', () => {
    expect(nameHtml('brow\u202egnp.exe').text).toBe('<bdi>brow\\u{202e}gnp.exe</bdi>');
  });

  it('is cut where it has 10,000 characters, never inside a character', () => {
    const shown = nameHtml('\u{1f419}'.repeat(10_000), 20).text;
    expect(shown).toBe(`<bdi>${'\u{1f419}'.repeat(19)}\u2026</bdi>`);
  });

  it('stays whole where it fits', () => expect(nameHtml('brow left').text).toBe('<bdi>brow left</bdi>'));
});
