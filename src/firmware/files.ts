/** The files that are handed on to the firmware, each with its name and its bytes. */
import type { Evaluation } from '../worksheet/evaluate.ts';
import { headerText } from './header.ts';
import type { IntegerConversion } from './integerConversion.ts';
import { vectorsC, vectorsCsv } from './vectors.ts';

/** The header, or its test vectors as C or as CSV. */
export type FirmwareKind = 'header' | 'c' | 'csv';

/** A file, not yet written. */
export interface FirmwareFile {
  /** Named after the prefix. */
  readonly name: string;
  /** Its text, made when it is asked for. */
  readonly text: () => string;
}

/**
 * A file for the firmware.
 *
 * @param evaluation - of the worksheet
 * @param conversion - its integer conversion
 * @param prefix - what every name starts with, as for `headerText`
 * @param kind - which of the three
 */
export function firmwareFile({
  evaluation,
  conversion,
  prefix,
  kind,
}: {
  readonly evaluation: Evaluation;
  readonly conversion: IntegerConversion;
  readonly prefix: string;
  readonly kind: FirmwareKind;
}): FirmwareFile {
  switch (kind) {
    case 'header':
      return { name: `${prefix}.h`, text: () => headerText({ evaluation, conversion, prefix }) };
    case 'c':
      return { name: `${prefix}_vectors.h`, text: () => vectorsC(evaluation, conversion, prefix) };
    case 'csv':
      return { name: `${prefix}_vectors.csv`, text: () => vectorsCsv(evaluation, conversion) };
  }
}
