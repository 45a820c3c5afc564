import { describe, expect, it } from 'vitest';
import { amount, measurandUnitsOf, unitsOf } from '../../src/worksheet/amount.ts';
import { profileSchema } from '../../src/worksheet/schema/converter.ts';
import type { Field } from '../../src/worksheet/schema/field.ts';
import { type JsonSchema, jsonSchema } from '../../src/worksheet/schema/json-schema.ts';
import { fieldAt, pathsOf } from '../../src/worksheet/schema/lookup.ts';
import { worksheetSchema } from '../../src/worksheet/schema/worksheet.ts';
import { beehiveWith, demo, profileTexts, worksheetTexts } from './demos.ts';

const schemas = {
  worksheet: jsonSchema(worksheetSchema, 'worksheet.schema.json'),
  converter: jsonSchema(profileSchema, 'converter.schema.json'),
};

/**
 * What a value breaks of a JSON Schema, by draft 2020-12 as far as the schemas here use it; a keyword that is not known here is an
 * error, so that none goes unread. Checked once against a general validator in another language: the same verdicts.
 */
function faults(value: unknown, schema: JsonSchema, root: JsonSchema, at = ''): string[] {
  const out: string[] = [];
  const fault = (why: string) => out.push(`${at}: ${why}`);
  const isObject = typeof value === 'object' && value !== null && !Array.isArray(value);
  const record = isObject ? (value as Record<string, unknown>) : {};
  for (const [keyword, rule] of Object.entries(schema)) {
    const alternatives = () => (rule as JsonSchema[]).map((s) => faults(value, s, root, at));
    switch (keyword) {
      case '$schema':
      case '$id':
      case '$defs':
      case 'title':
      case 'description':
      case 'examples':
        break;
      case '$ref': {
        const target = (root.$defs as Record<string, JsonSchema>)[(rule as string).replace('#/$defs/', '')]!;
        out.push(...faults(value, target, root, at));
        break;
      }
      case 'type': {
        const is = Array.isArray(value) ? 'array' : Number.isInteger(value) ? 'integer' : typeof value;
        if (is !== rule && !(rule === 'number' && is === 'integer')) fault(`is ${is}, not ${rule}`);
        break;
      }
      case 'enum':
        if (!(rule as unknown[]).includes(value)) fault('is none of the values');
        break;
      case 'const':
        if (rule !== value) fault(`is not ${rule}`);
        break;
      case 'anyOf':
        if (!alternatives().some((f) => f.length === 0))
          fault(`none of: ${alternatives().flat().join(' | ')}`);
        break;
      case 'oneOf':
        if (alternatives().filter((f) => f.length === 0).length !== 1) fault('not exactly one');
        break;
      case 'properties':
        for (const [key, of] of Object.entries(rule as Record<string, JsonSchema>)) {
          if (Object.hasOwn(record, key)) out.push(...faults(record[key], of, root, `${at}.${key}`));
        }
        break;
      case 'required':
        for (const key of rule as string[])
          if (isObject && !Object.hasOwn(record, key)) fault(`lacks ${key}`);
        break;
      case 'additionalProperties':
        for (const key of Object.keys(record)) {
          if (!Object.hasOwn(schema.properties as object, key)) fault(`has ${key}`);
        }
        break;
      case 'items':
        if (Array.isArray(value)) {
          for (const [i, v] of value.entries())
            out.push(...faults(v, rule as JsonSchema, root, `${at}.${i}`));
        }
        break;
      case 'minItems':
        if (Array.isArray(value) && value.length < (rule as number)) fault('is too short');
        break;
      case 'maxItems':
        if (Array.isArray(value) && value.length > (rule as number)) fault('is too long');
        break;
      case 'minLength':
        if (typeof value === 'string' && value.length < (rule as number)) fault('is too short');
        break;
      case 'maxLength':
        if (typeof value === 'string' && value.length > (rule as number)) fault('is too long');
        break;
      case 'pattern':
        if (typeof value === 'string' && !new RegExp(rule as string).test(value)) fault('has another form');
        break;
      case 'minimum':
        if (typeof value === 'number' && value < (rule as number)) fault('is too small');
        break;
      case 'maximum':
        if (typeof value === 'number' && value > (rule as number)) fault('is too large');
        break;
      case 'multipleOf':
        if (typeof value === 'number' && !Number.isInteger(value / (rule as number))) fault('is no multiple');
        break;
      default:
        throw new Error(`${at}: the keyword ${keyword} is not known here`);
    }
  }
  return out;
}

const of = (text: string, schema: JsonSchema): string[] => faults(JSON.parse(text), schema, schema);

describe('JSON Schema', () => {
  it.each(Object.entries(schemas))('data/%s.schema.json is what the schema gives', async (name, schema) => {
    // `vitest -u` writes the file anew.
    await expect(`${JSON.stringify(schema, null, 2)}\n`).toMatchFileSnapshot(
      `../../data/${name}.schema.json`,
    );
  });

  it('the demos and the profiles keep it', () => {
    for (const [name, text] of Object.entries(worksheetTexts))
      expect(of(text, schemas.worksheet), name).toEqual([]);
    for (const [name, text] of Object.entries(profileTexts))
      expect(of(text, schemas.converter), name).toEqual([]);
  });

  it('refuses what the reader refuses of structure, names and numbers', () => {
    const cases: readonly (readonly [string, string])[] = [
      [beehiveWith('"ratio": 64', '"ratoi": 64'), '.averaging: lacks ratio'],
      [beehiveWith('"shift": 3', '"shift": 21'), '.averaging.shift: none of: .averaging.shift: is too large'],
      [
        beehiveWith('"bits": 12', '"bits": 12.5'),
        '.sampling.bits: none of: .sampling.bits: is number, not integer',
      ],
      [
        beehiveWith('"step": "5 mK"', '"step": 5'),
        '.requirement.step: none of: .requirement.step: is integer, not string',
      ],
      [beehiveWith('"intent": "must-trip"', '"intent": "trip"'), '.watchdog.intent: is none of the values'],
      [beehiveWith('"kind": "thermistor"', '"kind": "wire"'), '.sensor: not exactly one'],
      [beehiveWith('"halfbit": 1', '"halfbit": 2'), '.halfbit: is none of the values'],
    ];
    for (const [text, fault] of cases) {
      expect(
        of(text, schemas.worksheet).some((f) => f.startsWith(fault)),
        fault,
      ).toBe(true);
    }
  });
});

/** Every field of a schema, with its path. */
function* fieldsOf(field: Field, path = ''): Generator<[string, Field]> {
  yield [path, field];
  const within: [string, Field][] =
    field.is === 'object'
      ? Object.entries(field.fields)
      : field.is === 'variant'
        ? Object.entries(field.variants)
        : field.is === 'list'
          ? [['0', field.of as Field]]
          : [];
  for (const [key, of] of within) yield* fieldsOf(of, path === '' ? key : `${path}.${key}`);
}

describe('fields', () => {
  const all = [...fieldsOf(worksheetSchema), ...fieldsOf(profileSchema)];

  it('each has a name without a capital and a sentence', () => {
    for (const [path, { label, doc }] of all) {
      expect(label, path).toMatch(/^[a-z1]/);
      expect(doc, path).toMatch(/^[A-Z].*\.$/);
    }
  });

  it('each quantity’s example is one that it takes', () => {
    const kinds = [{ kind: 'thermistor' }, { kind: 'divider' }];
    const ownUnits = ['bar', '%', 'kg', 'lx'].map((unit) => ({ kind: 'table', unit }));
    const known = [...kinds, ...ownUnits].map(measurandUnitsOf);
    for (const [path, field] of all) {
      if (field.is !== 'quantity') continue;
      const { value } = amount(field.example, unitsOf(field.unit, known));
      expect(field.low <= value && value <= field.high, path).toBe(true);
    }
  });

  it('are found by their paths, those of a variant by its kind', () => {
    const { inputs } = demo('beehive');
    expect(fieldAt(worksheetSchema, 'sensor.r25', inputs)?.label).toBe('thermistor resistance at 25 °C');
    expect(fieldAt(worksheetSchema, 'sensor.top', inputs)).toBeUndefined();
    expect(fieldAt(worksheetSchema, 'sensor.top')?.label).toBe('upper resistor');
    expect(fieldAt(worksheetSchema, 'sensor.kind', inputs)?.is).toBe('choice');
    expect(fieldAt(worksheetSchema, 'converter.internalReference.tempco')?.label).toBe(
      'internal reference temperature coefficient',
    );
    expect(fieldAt(worksheetSchema, 'scan.channels.3.voltage')?.label).toBe('voltage');
    for (const none of [
      'scan.channels.x',
      'title.x',
      'constructor',
      '__proto__',
      'averaging.toString',
      'x',
    ]) {
      expect(fieldAt(worksheetSchema, none), none).toBeUndefined();
    }
  });

  it('every path that is listed leads to a single value', () => {
    const { inputs } = demo('workbench');
    const paths = pathsOf(worksheetSchema, inputs);
    expect(paths).toContain('conditioning.interference.0.frequency');
    expect(paths).toContain('sensor.class');
    expect(paths).not.toContain('sensor.beta');
    for (const path of paths) {
      expect(['object', 'list', 'variant'], path).not.toContain(fieldAt(worksheetSchema, path, inputs)?.is);
    }
  });
});
