/**
 * Formulas: written as one line of plain text, `u^2 = B^2 + (σ^2 + 1/12 − B^2)/R`, read into a tree, and from the tree shown
 * as MathML, or as text again with numbers put in for symbols. One text is the truth for every renderer.
 *
 * Grammar: sums and relations of products; `/` makes a fraction of the factors beside it; `^` and `_` raise and lower;
 * `sqrt(…)`, `sum(k=1, ∞, …)`, `|…|`, `(…)`. A single letter, Greek letter, or letter with an index is a symbol (italic);
 * a longer word is a name (upright).
 */

export type Formula =
  | { readonly type: 'number' | 'symbol' | 'name'; readonly text: string }
  | { readonly type: 'operator'; readonly text: string }
  | { readonly type: 'row'; readonly parts: readonly Formula[] }
  | { readonly type: 'group'; readonly open: string; readonly close: string; readonly inner: Formula }
  | { readonly type: 'fraction'; readonly over: Formula; readonly under: Formula }
  | { readonly type: 'script'; readonly base: Formula; readonly up?: Formula; readonly down?: Formula }
  | { readonly type: 'root'; readonly inner: Formula }
  | { readonly type: 'sum'; readonly from: Formula; readonly to: Formula; readonly inner: Formula };

const token = /\s*(?:(\d+(?:[ \u202f]\d{3})*(?:\.\d+)?(?:e[-+]?\d+)?)|(\p{L}+)|(.))/uy;

/** Reads the line of text into a tree. Throws a SyntaxError that shows the place. */
export function readFormula(text: string): Formula {
  const tokens: { kind: 'number' | 'word' | 'sign'; text: string; at: number }[] = [];
  token.lastIndex = 0;
  for (let m = token.exec(text); m && m[0] !== ''; m = token.exec(text)) {
    const kind = m[1] !== undefined ? 'number' : m[2] !== undefined ? 'word' : 'sign';
    tokens.push({ kind, text: (m[1] ?? m[2] ?? m[3])!, at: token.lastIndex });
  }
  let i = 0;
  const peek = (): string | undefined => tokens[i]?.text;
  const fail = (wanted: string): never => {
    throw new SyntaxError(`formula "${text}": ${wanted} expected at ${tokens[i]?.at ?? text.length}`);
  };
  const take = (sign: string): void => {
    if (peek() !== sign) fail(`"${sign}"`);
    i++;
  };

  const row = (stop: readonly string[]): Formula => {
    const parts: Formula[] = [];
    while (i < tokens.length && !stop.includes(peek()!)) {
      const t = tokens[i]!;
      if (t.kind === 'sign' && '+−-=≈≤≥<>·×,…±→∓'.includes(t.text)) {
        i++;
        parts.push({ type: 'operator', text: t.text === '-' ? '−' : t.text });
      } else if (t.text === '/') {
        i++;
        const over = parts.pop() ?? fail('a numerator');
        parts.push({ type: 'fraction', over: bare(over), under: bare(scripted()) });
      } else parts.push(scripted());
    }
    return parts.length === 1 ? parts[0]! : { type: 'row', parts };
  };

  const scripted = (): Formula => {
    const base = atom();
    let up: Formula | undefined;
    let down: Formula | undefined;
    for (;;) {
      if (peek() === '^' && !up) {
        i++;
        up = bare(atom());
      } else if (peek() === '_' && !down) {
        i++;
        down = bare(atom());
      } else break;
    }
    return up || down ? { type: 'script', base, ...(up && { up }), ...(down && { down }) } : base;
  };

  const atom = (): Formula => {
    const t = tokens[i] ?? fail('a symbol or number');
    i++;
    if (t.kind === 'number') return { type: 'number', text: t.text };
    if (t.kind === 'word') {
      if (t.text === 'sqrt') {
        take('(');
        const inner = row([')']);
        take(')');
        return { type: 'root', inner };
      }
      if (t.text === 'sum') {
        take('(');
        const from = row([';']);
        take(';');
        const to = row([';']);
        take(';');
        const inner = row([')']);
        take(')');
        return { type: 'sum', from, to, inner };
      }
      return { type: [...t.text].length === 1 ? 'symbol' : 'name', text: t.text };
    }
    if (t.text === '(' || t.text === '|' || t.text === '⌊') {
      const close = t.text === '(' ? ')' : t.text === '|' ? '|' : '⌋';
      const inner = row([close]);
      take(close);
      return { type: 'group', open: t.text, close, inner };
    }
    if (t.text === '−' || t.text === '-')
      return { type: 'row', parts: [{ type: 'operator', text: '−' }, scripted()] };
    if (t.text === '∞' || t.text === '°' || t.text === '%') return { type: 'name', text: t.text };
    i--;
    return fail('a symbol or number');
  };

  const tree = row([]);
  if (i < tokens.length) fail('the end');
  return tree;
}

/** A bracketed numerator, denominator or index needs no brackets of its own. */
const bare = (f: Formula): Formula => (f.type === 'group' && f.open === '(' ? f.inner : f);

const nameOf = (f: Formula): string | undefined => {
  if (f.type === 'symbol' || f.type === 'name') return f.text;
  if (f.type === 'script' && f.down && !f.up) {
    const base = nameOf(f.base);
    const down = nameOf(f.down) ?? (f.down.type === 'number' ? f.down.text : undefined);
    return base !== undefined && down !== undefined ? `${base}_${down}` : undefined;
  }
  return undefined;
};

/** The formula with numbers put in for the symbols named (`{σ: '0.6', R: '8'}`; an indexed symbol is `R_s`). */
export function putIn(f: Formula, values: Readonly<Record<string, string>>): Formula {
  const name = nameOf(f);
  if (name !== undefined && Object.hasOwn(values, name)) return { type: 'number', text: values[name]! };
  switch (f.type) {
    case 'row':
      return { ...f, parts: f.parts.map((p) => putIn(p, values)) };
    case 'group':
    case 'root':
      return { ...f, inner: putIn(f.inner, values) };
    case 'fraction':
      return { ...f, over: putIn(f.over, values), under: putIn(f.under, values) };
    case 'script': {
      const base = putIn(f.base, values);
      const up = f.up && putIn(f.up, values);
      return { type: 'script', base, ...(up && { up }), ...(f.down && { down: f.down }) };
    }
    case 'sum':
      return { ...f, inner: putIn(f.inner, values) };
    default:
      return f;
  }
}

const raised: Readonly<Record<string, string>> = { '2': '²', '3': '³', '4': '⁴' };

/** Whether a factor shows a digit first, so that a sign must stand before it. */
export function startsWithNumber(f: Formula): boolean {
  if (f.type === 'number') return true;
  if (f.type === 'script') return startsWithNumber(f.base);
  if (f.type === 'row') return f.parts[0] !== undefined && startsWithNumber(f.parts[0]);
  return false;
}

/** The formula as a line of text. */
export function formulaText(f: Formula): string {
  switch (f.type) {
    case 'number':
    case 'symbol':
    case 'name':
      return f.text;
    case 'operator':
      return f.text === ',' ? ', ' : ` ${f.text} `;
    case 'row': {
      let out = '';
      f.parts.forEach((p, i) => {
        const before = f.parts[i - 1];
        const joined = before && before.type !== 'operator' && p.type !== 'operator' && p.type !== 'group';
        const sign = p.type === 'operator' && (i === 0 || before?.type === 'operator');
        const gap = !joined ? '' : startsWithNumber(p) && i > 0 && before.type !== 'symbol' ? ' × ' : ' ';
        out += gap + (sign ? formulaText(p).trim() : formulaText(p));
      });
      return out;
    }
    case 'group':
      return f.open + formulaText(f.inner) + f.close;
    case 'fraction':
      return `${wrapped(f.over)}/${wrapped(f.under)}`;
    case 'script': {
      const up = f.up && formulaText(f.up);
      const down = f.down && `_${formulaText(f.down)}`;
      return `${wrapped(f.base)}${down ?? ''}${up === undefined ? '' : (raised[up] ?? `^${wrapped(f.up!)}`)}`;
    }
    case 'root':
      return `√(${formulaText(f.inner)})`;
    case 'sum':
      return `Σ[${formulaText(f.from)} … ${formulaText(f.to)}] ${formulaText(f.inner)}`;
  }
}

const wrapped = (f: Formula): string =>
  f.type === 'row' || f.type === 'fraction' ? `(${formulaText(f)})` : formulaText(f);
