/** The review as it stands: every note with what it is on. */
import type { Finding, Reviewed } from './evaluation.ts';
import { findingLabel } from './findingNames.ts';
import type { Worksheet } from './read.ts';
import { subjectLabel } from './review.ts';

/** The notes of a worksheet, open ones first, each with whether what it is on is still there. */
export function reviewedOf(worksheet: Worksheet, findings: readonly Finding[]): Reviewed[] {
  const names = new Set(findings.map((f) => f.name));
  const notes = (worksheet.inputs.review ?? []).map((entry): Reviewed => {
    const isFinding = findingLabel(entry.on) !== undefined;
    return {
      ...entry,
      label: subjectLabel(worksheet, entry.on),
      subject: !isFinding ? 'input' : names.has(entry.on) ? 'finding' : 'gone',
    };
  });
  return [...notes.filter((n) => n.state === 'open'), ...notes.filter((n) => n.state !== 'open')];
}
