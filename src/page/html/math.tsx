/** Formulas as MathML. */
import { type ComponentChild, h, type JSX } from 'preact';
import { type Formula, putIn, readFormula, startsWithNumber } from '../formula.ts';

/** An element of MathML; attributes are written as text. */
const m = (
  name: string,
  attributes: Readonly<Record<string, string>> | null,
  ...inner: ComponentChild[]
): JSX.Element => h(name, attributes, ...inner);

/** What stands between two factors without a sign: × before a number, a thin space otherwise. */
function joint(before: Formula, part: Formula): JSX.Element | null {
  if (startsWithNumber(part)) return m('mo', null, '×');
  if (part.type === 'group' || before.type === 'operator') return null;
  return m('mspace', { width: '0.14em' });
}

function row(parts: readonly Formula[]): JSX.Element {
  const out: ComponentChild[] = [];
  parts.forEach((part, i) => {
    const before = parts[i - 1];
    if (before && before.type !== 'operator' && part.type !== 'operator') out.push(joint(before, part));
    const sign = part.type === 'operator' && (i === 0 || before?.type === 'operator');
    out.push(sign ? m('mo', { form: 'prefix', lspace: '0em', rspace: '0em' }, part.text) : node(part));
  });
  return m('mrow', null, ...out);
}

function node(f: Formula): JSX.Element {
  switch (f.type) {
    case 'number':
      return m(/^[-−]?[\d.\u202f]+$/.test(f.text) ? 'mn' : 'mtext', null, f.text);
    case 'symbol':
      return f.text === 'e' ? m('mi', { mathvariant: 'normal' }, 'e') : m('mi', null, f.text);
    case 'name':
      return m('mi', { mathvariant: 'normal' }, f.text);
    case 'operator':
      return m('mo', null, f.text);
    case 'row':
      return row(f.parts);
    case 'group': {
      const fence = { fence: 'true', stretchy: f.open === '|' ? 'true' : 'false' };
      return m('mrow', null, m('mo', fence, f.open), node(f.inner), m('mo', fence, f.close));
    }
    case 'fraction':
      return m('mfrac', null, node(f.over), node(f.under));
    case 'root':
      return m('msqrt', null, node(f.inner));
    case 'script':
      return m(
        f.up && f.down ? 'msubsup' : f.up ? 'msup' : 'msub',
        null,
        node(f.base),
        ...(f.down ? [node(f.down)] : []),
        ...(f.up ? [node(f.up)] : []),
      );
    case 'sum':
      return m(
        'mrow',
        null,
        m('munderover', null, m('mo', { movablelimits: 'false' }, '∑'), node(f.from), node(f.to)),
        node(f.inner),
      );
  }
}

/** One formula on its line, with numbers put in for the symbols named. */
export function MathLine({
  formula,
  values,
}: {
  formula: string;
  values?: Readonly<Record<string, string>> | undefined;
}): JSX.Element {
  const tree = readFormula(formula);
  return <div class="eq">{m('math', { display: 'block' }, node(values ? putIn(tree, values) : tree))}</div>;
}
