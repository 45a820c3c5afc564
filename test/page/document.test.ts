import { createHash } from 'node:crypto';
import { parseHTML } from 'linkedom';
import { describe, expect, it } from 'vitest';
import { documentText, policyFor, scriptJson } from '../../src/page/document.ts';

const hash = (text: string): string => createHash('sha256').update(text).digest('base64');

describe('the file of a page', () => {
  const script = 'let a = "<\\/script>";';
  const style = 'p{color:red}';
  const parts = {
    title: 'Which <ratio>?',
    policy: policyFor({ script: hash(script), style: hash(style) }),
    style,
    script,
    data: scriptJson({ text: '</script><script>alert(1)</script><!-- \u2028' }),
    body: '<p>body</p>',
  };
  const html = documentText(parts);
  const { document } = parseHTML(html);

  it('allows exactly its own script and style', () => {
    const policy = document.querySelector('meta[http-equiv]')!.getAttribute('content')!;
    expect(policy).toContain("default-src 'none'");
    expect(policy).not.toContain('unsafe');
    expect(policy).not.toContain('http');
    expect(policy).toContain(hash(document.querySelector('#halfbit-script')!.textContent!));
    expect(policy).toContain(hash(document.querySelector('#halfbit-style')!.textContent!));
  });

  it('lets no data end its element', () => {
    expect(document.querySelectorAll('script')).toHaveLength(2);
    expect(JSON.parse(document.querySelector('#halfbit-data')!.textContent!)).toEqual({
      text: '</script><script>alert(1)</script><!-- \u2028',
    });
    expect(document.querySelector('title')!.textContent).toBe('Which <ratio>?');
  });
});
