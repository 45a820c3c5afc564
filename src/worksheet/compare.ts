/**
 * Comparing: two worksheets side by side. In come two evaluations; out go the inputs that differ, each with its provenance, and what
 * that does to each result and each requirement. A requirement that one worksheet meets and the other misses is lost.
 */

import { resultsOf } from './comparedResults.ts';
import { evaluate, type RequirementName, type RequirementResult } from './evaluate.ts';
import type { Evaluation, Finding } from './evaluation.ts';
import { isUnreviewed } from './findings.ts';
import { type InputDifference, inputDifferences } from './inputDifferences.ts';
import { WorksheetError } from './problem.ts';
import { type ReviewDifference, reviewDifferences } from './reviewDifferences.ts';
import { withValues } from './write.ts';

/** A result of both worksheets; 'none' also where one of them has no such result. */
export interface ResultDifference {
  readonly name: string;
  readonly label: string;
  /** As `formatQuantity` takes it; 'code' for whole codes and counts, '1' for other plain numbers. */
  readonly unit: string;
  readonly a: number | 'none' | 'any';
  readonly b: number | 'none' | 'any';
}

/** A requirement in both worksheets; 'none' where one of them does not ask it. */
export interface RequirementDifference {
  readonly name: RequirementName;
  readonly a: RequirementResult | 'none';
  readonly b: RequirementResult | 'none';
  /** From A to B. New and dropped ones are asked by one of them alone. */
  readonly change: 'lost' | 'gained' | 'met' | 'missed' | 'new, met' | 'new, missed' | 'dropped';
  /** Paths of inputs that lose or gain it where each alone is changed in A; of the profile as a whole. Empty for any other change, and where more inputs differ than are tried. */
  readonly by: readonly string[];
}

/** All that differs. */
export interface Comparison {
  readonly inputs: readonly InputDifference[];
  /** Review notes that differ; they change no result. */
  readonly review: readonly ReviewDifference[];
  /** Those that differ. */
  readonly results: readonly ResultDifference[];
  /** Number of results that are the same. */
  readonly same: number;
  /** Every requirement of either. */
  readonly requirements: readonly RequirementDifference[];
  /** Findings of one of the two that the other has not, whatever their figures. */
  readonly findings: { readonly came: readonly Finding[]; readonly went: readonly Finding[] };
  /** Whether a requirement that A meets is missed in B. */
  readonly lost: boolean;
}

/** Most inputs that are tried alone; where more differ, hardly one of them says anything alone. */
export const mostAlone = 24;

/** What differs between the results of two evaluations, of results with the same name and unit. */
function resultDifferences(a: Evaluation, b: Evaluation): { differ: ResultDifference[]; same: number } {
  const key = ({ name, unit }: { name: string; unit: string }): string => `${name} ${unit}`;
  const [own, other] = [resultsOf(a), resultsOf(b)];
  const there = new Map(other.map((r) => [key(r), r.value]));
  const here = new Set(own.map(key));
  const all = [
    ...own.map(({ value, ...r }) => ({ ...r, a: value, b: there.get(key(r)) ?? ('none' as const) })),
    ...other
      .filter((r) => !here.has(key(r)))
      .map(({ value, ...r }) => ({ ...r, a: 'none' as const, b: value })),
  ];
  const differ = all.filter((r) => r.a !== r.b);
  return { differ, same: all.length - differ.length };
}

function changeOf(
  a: RequirementResult | undefined,
  b: RequirementResult | undefined,
): RequirementDifference['change'] {
  if (b === undefined) return 'dropped';
  if (a === undefined) return b.met ? 'new, met' : 'new, missed';
  if (a.met) return b.met ? 'met' : 'lost';
  return b.met ? 'gained' : 'missed';
}

/** The findings of one evaluation that another has not; what is still to be reviewed is among the inputs and notes. */
function findingsBeyond(one: Evaluation, other: Evaluation): Finding[] {
  const known = new Set(other.findings.map(({ name }) => name));
  return one.findings.filter((f) => !isUnreviewed(f) && !known.has(f.name));
}

/** For each input that differs, the requirements as they are where it alone is changed in A; those refused alone are left out. */
function aloneIn(a: Evaluation, inputs: readonly InputDifference[]) {
  const tried = inputs.filter(
    ({ a: x, b: y, what }) => what === 'figure' && [x, y].some((v) => v !== 'none' && v.by === 'worksheet'),
  );
  if (tried.length > mostAlone) return [];
  return tried.flatMap(({ path, b }) => {
    try {
      const typed = b === 'none' || b.by === 'profile' ? undefined : b.typed;
      const worksheet = withValues(a.worksheet, { [path]: typed });
      return [{ path, requirements: evaluate({ worksheet }).requirements }];
    } catch (error) {
      if (error instanceof WorksheetError || error instanceof RangeError) return [];
      throw error;
    }
  });
}

/**
 * What differs between two worksheets, and what that does.
 *
 * @param a - evaluation of the one, before
 * @param b - evaluation of the other, after
 * @param causes - whether inputs are tried alone, which takes as long as an evaluation for each; without, `by` is empty
 * @returns differing inputs in the order of the schema, differing results in that of the chain, and every requirement
 */
export function comparison({
  a,
  b,
  causes = true,
}: {
  readonly a: Evaluation;
  readonly b: Evaluation;
  readonly causes?: boolean;
}): Comparison {
  const inputs = inputDifferences(a.worksheet, b.worksheet);
  const { differ, same } = resultDifferences(a, b);
  const names = [...new Set([...a.requirements, ...b.requirements].map((r) => r.name))];
  const of = (e: Pick<Evaluation, 'requirements'>, name: RequirementName) =>
    e.requirements.find((r) => r.name === name);
  const changes = names.map((name) => ({ name, change: changeOf(of(a, name), of(b, name)) }));
  const turned = changes.some(({ change }) => change === 'lost' || change === 'gained');
  const alone = causes && turned ? aloneIn(a, inputs) : [];
  return {
    inputs,
    review: reviewDifferences(a.worksheet, b.worksheet),
    results: differ,
    same,
    requirements: changes.map(({ name, change }) => ({
      name,
      a: of(a, name) ?? 'none',
      b: of(b, name) ?? 'none',
      change,
      by:
        change === 'lost' || change === 'gained'
          ? alone
              .filter(({ requirements }) => of({ requirements }, name)?.met === (change === 'gained'))
              .map(({ path }) => path)
          : [],
    })),
    findings: { came: findingsBeyond(b, a), went: findingsBeyond(a, b) },
    lost: changes.some(({ change }) => change === 'lost'),
  };
}
