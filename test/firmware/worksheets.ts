/** Worksheets for tests of the firmware: the demos, and documents made from them. */
import '../../src/numbers/compound.ts';
import { conversionOf } from '../../src/firmware/conversionOf.ts';
import { headerText } from '../../src/firmware/header.ts';
import { type Evaluation, evaluate } from '../../src/worksheet/evaluate.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { profiles, worksheetTexts } from '../worksheet/demos.ts';

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
type Document = any;

/** The evaluation of a demo, with its document changed first where wanted. */
export function evaluationOf(name: string, change: (document: Document) => void = () => {}): Evaluation {
  const document = JSON.parse(worksheetTexts[name]!) as Document;
  change(document);
  return evaluate({ worksheet: readWorksheet({ text: JSON.stringify(document), profiles }) });
}

/** Evaluation, conversion and header of a demo, its names starting with `x`. */
export function made(name: string, change?: (document: Document) => void) {
  const evaluation = evaluationOf(name, change);
  const conversion = conversionOf(evaluation);
  return { evaluation, conversion, header: headerText({ evaluation, conversion, prefix: 'x' }) };
}

/** A battery measured against the supply that it feeds: the chain that needs the supply correction. */
export const againstSupply = (document: Document): void => {
  document.converter.reference = { source: 'supply', voltage: '3.3 V' };
};
