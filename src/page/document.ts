/**
 * The file of a page: one HTML document with its type, style, program and data inside. It makes no request; its content security
 * policy allows the one script and the one style sheet it carries, by their hash.
 */

/** The parts of the file. */
export interface DocumentParts {
  readonly title: string;
  /** Content security policy, made for exactly this script and style. */
  readonly policy: string;
  readonly style: string;
  readonly script: string;
  /** What the page is about, as JSON: worksheet, profiles, names of the pages. */
  readonly data: string;
  /** The sheet as it stands before the script runs. */
  readonly body: string;
}

/** The policy for a script and a style sheet of these hashes (base64 of SHA-256); `reload` is the hash of the local server's. */
export const policyFor = (hashes: { script: string; style: string; reload?: string }): string =>
  [
    "default-src 'none'",
    `script-src 'sha256-${hashes.script}'${hashes.reload ? ` 'sha256-${hashes.reload}'` : ''}`,
    `style-src 'sha256-${hashes.style}'`,
    'font-src data:',
    'img-src data: blob:',
    'worker-src blob:',
    ...(hashes.reload ? ["connect-src 'self'"] : []),
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');

const escapes: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Text as it may stand between tags or in a quoted attribute. */
export const htmlText = (text: string): string => text.replace(/[&<>"]/g, (c) => escapes[c]!);

/** JSON as it may stand in a script element: nothing in it can end the element or open a comment. */
export const scriptJson = (value: unknown): string =>
  JSON.stringify(value).replace(
    /[<>\u2028\u2029]/g,
    (c) => `\\u${c.charCodeAt(0).toString(16).padStart(4, '0')}`,
  );

/** The pattern that hatches the forbidden side of a limit; once a page. */
const hatch =
  '<svg width="0" height="0" class="vh" aria-hidden="true"><defs><pattern id="hatch" width="7" height="7" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V7" stroke="var(--miss)" stroke-opacity=".42"/></pattern></defs></svg>';

/** The whole file. `after` is put at its very end. */
export const documentText = (parts: DocumentParts, after = ''): string =>
  `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="${htmlText(parts.policy)}">
<title>${htmlText(parts.title)}</title>
<style id="halfbit-style">${parts.style}</style>
</head>
<body>
${hatch}
<div id="halfbit">${parts.body}</div>
<script type="application/json" id="halfbit-data">${parts.data}</script>
<script id="halfbit-script">${parts.script}</script>${after}
</body>
</html>
`;
