/** Converting between code, volts and measurand: one value, or a column, a line in and a line out. */
import { asciiQuantity } from '../../numbers/format.ts';
import { type Forms, formsOf } from '../../worksheet/formsOf.ts';
import { lineReader, type Told, type Wanted, wantedForm } from '../../worksheet/formText.ts';
import { type Command, define, json, sessionOn, set } from '../command.ts';
import { InputError } from '../files.ts';
import { numberedLines, standardInput, write } from '../lines.ts';

/** Complaints that are written out; the rest are counted. */
const mostComplaints = 20;

/** What one line comes to. */
interface Converted {
  readonly told: Told;
  readonly wanted: Wanted;
  readonly mean: number;
  readonly figure: number;
  /** Whether the converter's code stays at its end. */
  readonly beyond: boolean;
}

/** The way from a line to what it comes to. */
function converter(forms: Forms, to: string | undefined, atPin: boolean): (line: string) => Converted {
  const read = lineReader(forms, atPin);
  const asked = to === undefined ? undefined : wantedForm(forms, to, atPin);
  const ofCodes = asked ?? wantedForm(forms, forms.measurand.unit, false);
  const ofOthers = asked ?? wantedForm(forms, 'code', false);
  const { low, high } = forms.ends;
  return (line) => {
    const told = read(line);
    const mean = told.form.meanOf(told.value);
    const wanted = told.form.is === 'code' ? ofCodes : ofOthers;
    return {
      told,
      wanted,
      mean,
      figure: wanted.figure(mean),
      beyond: wanted.form.is === 'code' && !(low <= mean && mean <= high),
    };
  };
}

const textLine = ({ wanted: { unit, decimals }, figure }: Converted): string => {
  const text = figure.toFixed(decimals);
  return unit === '' ? text : `${text} ${unit}`;
};

/** The measurand of a mean code; 'none' where the sensor has none. */
function measurandAt({ measurand }: Forms, mean: number): number | 'none' {
  try {
    return measurand.valueOf(mean);
  } catch (error) {
    if (!(error instanceof RangeError)) throw error;
    return 'none';
  }
}

const jsonLine = (forms: Forms, line: string, { wanted, mean, figure, beyond }: Converted): string =>
  JSON.stringify({
    input: line,
    value: figure,
    unit: wanted.unit || 'code',
    code: forms.code.valueOf(mean),
    volts: forms.pin.valueOf(mean),
    measurand: measurandAt(forms, mean),
    ...(beyond && { beyond }),
  });

/** The words: what ends in .json, or a second word `-`, is the worksheet; the others make the value. */
function sorted(words: readonly string[]): { value: string; worksheet: string | undefined } {
  const isFile = (word: string, i: number): boolean => /\.json$/i.test(word) || (word === '-' && i > 0);
  const files = words.filter(isFile);
  if (files.length > 1) throw new InputError(`one worksheet too many: ${JSON.stringify(files[1])}`);
  const value = words.filter((word, i) => !isFile(word, i)).join(' ');
  return { value: value === '-' ? '' : value, worksheet: files[0] };
}

const command = define({
  name: 'convert',
  takes: '[VALUE] [WORKSHEET]',
  help: 'code, volts or measurand into one another: VALUE, or a column from standard input, a line out for each line in. 2048 and 0x800 are result codes, "1.65 V" and "25 degC" are what their unit says. A line that cannot be converted is complained about and leaves an empty line; exit code 2 then, else 0',
  options: {
    to: {
      type: 'string',
      value: 'UNIT',
      help: 'code, V, or another unit, as mV, degC, kohm; unless given a code becomes the measurand, all else a code',
    },
    pin: {
      type: 'boolean',
      help: 'volts are at the pin, where the measurand is a voltage too',
    },
    native: { type: 'boolean', help: 'codes of one conversion in place of the averaged result’s' },
    set,
    json: { ...json, help: 'a JSON object a line' },
  },
  most: 4,
  async run({ values, positionals }) {
    const { value, worksheet } = sorted(positionals);
    if (value === '' && worksheet === '-') {
      throw new InputError('standard input cannot give both the worksheet and the values');
    }
    const { session } = await sessionOn(worksheet, values.set as string[] | undefined);
    const forms = formsOf(session.evaluation, values.native === true);
    const convert = converter(forms, values.to as string | undefined, values.pin === true);
    const source = value === '' ? standardInput() : alone(value);
    let [bad, beyond] = [0, 0];
    /** The line that stands for a line of input. */
    const answer = (line: string, number: number): string => {
      if (line === '') return '';
      try {
        const converted = convert(line);
        if (converted.beyond) beyond++;
        return values.json ? jsonLine(forms, line, converted) : textLine(converted);
      } catch (error) {
        bad++;
        const words = (error as Error).message.replace(/\.$/, '');
        if (bad <= mostComplaints) {
          const place = value === '' ? `line ${number}: ` : '';
          process.stderr.write(`halfbit convert: ${place}${words}\n`);
        }
        return values.json ? JSON.stringify({ input: line.slice(0, 100), error: words }) : '';
      }
    };
    for await (const [lines, first] of numberedLines(source)) {
      let out = '';
      for (let i = 0; i < lines.length; i++) {
        const line = lines[i]!;
        const number = first + i;
        out += `${answer(tidy(line, number), number)}\n`;
      }
      await write(out);
    }
    if (bad > mostComplaints) {
      process.stderr.write(`halfbit convert: ${bad - mostComplaints} more lines could not be converted\n`);
    }
    if (beyond > 0) process.stderr.write(`halfbit convert: ${beyondWords(beyond, forms)}\n`);
    return bad > 0 ? 2 : 0;
  },
});

/** A value given as words, as a source of one line. */
async function* alone(value: string): AsyncGenerator<string> {
  yield `${value}\n`;
}

/** A line without the end of a line of other systems, and the first without a byte order mark. */
function tidy(line: string, number: number): string {
  const text = number === 1 ? line.replace(/^\ufeff/, '') : line;
  return text.trim();
}

function beyondWords(count: number, { ends }: Forms): string {
  const who = count === 1 ? 'the value lies' : `${count} values lie`;
  return `${who} beyond what the converter takes, 0 V … ${asciiQuantity({ value: ends.reference, unit: 'V' })} at the pin; the code is that of the end`;
}

/** The words with a value below zero, and its unit, behind all options, where it is not taken for one of them. */
function belowZeroLast(words: readonly string[]): string[] {
  const at = words.findIndex((word) => /^-\.?\d/.test(word));
  if (at < 0 || words.slice(0, at).includes('--')) return [...words];
  const unit = words[at + 1];
  const alone = unit === undefined || unit.startsWith('-') || /\.json$/i.test(unit);
  const value = alone ? words[at]! : `${words[at]} ${unit}`;
  return [...words.slice(0, at), ...words.slice(at + (alone ? 1 : 2)), '--', value];
}

export const convert: Command = { ...command, run: (words) => command.run(belowZeroLast(words)) };
