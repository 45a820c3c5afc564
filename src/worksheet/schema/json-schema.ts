/**
 * JSON Schema: a document's schema in the form that editors read, to complete and check it while it is written. It tells structure,
 * names and numbers; units, physical ranges and the rules between fields are the reader's.
 */
import {
  type CountField,
  type Field,
  type NumberField,
  type ObjectField,
  provenances,
  type QuantityField,
} from './field.ts';

/** A JSON Schema, or a part of one. */
export type JsonSchema = { readonly [key: string]: unknown };

/** What the units that depend on the sensor are, in words. */
const unitWords: Readonly<Record<string, string>> = {
  measurand: 'the unit of the measurand (degC, V, A, or the “unit” of the sensor)',
  difference: 'the unit of a difference of the measurand (K, V, A, or the “unit” of the sensor)',
  electrical: 'ohm or V',
  limit: 'the unit of the measurand, or V at the pin',
  '1': '% or ppm',
};

const textOf = (longest: number): JsonSchema => ({ type: 'string', minLength: 1, maxLength: longest });

const closed = (properties: JsonSchema, required: readonly string[]): JsonSchema => ({
  type: 'object',
  properties,
  required,
  additionalProperties: false,
});

/** A figure in its short form, or with where it comes from. */
const figure = (value: JsonSchema, withSpread: boolean): JsonSchema => ({
  anyOf: [
    value,
    closed(
      {
        value,
        from: { $ref: '#/$defs/provenance' },
        note: { ...textOf(500), description: 'What else is known of the source, as "table 4, maximum".' },
        ...(withSpread && { spread: { ...textOf(100), examples: ['1 %'] } }),
      },
      ['value', 'from'],
    ),
  ],
});

const numeric = ({ low, high, multipleOf }: NumberField | CountField): JsonSchema => ({
  type: multipleOf === 1 ? 'integer' : 'number',
  minimum: low,
  maximum: high,
  ...(multipleOf !== undefined && multipleOf !== 1 && { multipleOf }),
});

const quantityDoc = ({ doc, unit }: QuantityField): string => `${doc} In ${unitWords[unit] ?? unit}.`;

/** The schema of one field. */
function schemaOf(field: Field): JsonSchema {
  const { label: title, doc: description } = field;
  switch (field.is) {
    case 'quantity':
      return { title, description: quantityDoc(field), $ref: '#/$defs/quantity', examples: [field.example] };
    case 'count':
      return { title, description, ...figure(numeric(field), false) };
    case 'number':
      return { title, description, ...numeric(field) };
    case 'choice':
      return { title, description, enum: field.values };
    case 'text':
      return {
        title,
        description,
        type: 'string',
        maxLength: field.longest,
        ...(field.pattern && { pattern: field.pattern.source }),
      };
    case 'flag':
      return { title, description, type: 'boolean' };
    case 'list': {
      const items = schemaOf(field.of as Field);
      return { title, description, type: 'array', items, minItems: field.shortest, maxItems: field.longest };
    }
    case 'object':
      return { title, description, ...objectOf(field, {}) };
    case 'variant':
      return {
        title,
        description,
        oneOf: Object.entries(field.variants).map(([kind, of]) => ({
          title: of.label,
          description: of.doc,
          ...objectOf(of, { kind: { const: kind } }),
        })),
      };
  }
}

function objectOf({ fields }: ObjectField, ahead: JsonSchema): JsonSchema {
  const properties = Object.entries(fields).map(([name, field]) => [name, schemaOf(field)] as const);
  const required = Object.entries(fields).filter(([, field]) => !field.optional);
  return closed({ ...ahead, ...Object.fromEntries(properties) }, [
    ...Object.keys(ahead),
    ...required.map(([name]) => name),
  ]);
}

/**
 * The JSON Schema of a document (draft 2020-12).
 *
 * @param schema - the document's own
 * @param id - what the file is called
 * @returns plain JSON
 */
export function jsonSchema(schema: ObjectField, id: string): JsonSchema {
  return {
    $schema: 'https://json-schema.org/draft/2020-12/schema',
    $id: id,
    ...schemaOf(schema),
    $defs: {
      provenance: { description: 'Where the figure comes from.', enum: provenances },
      quantity: figure({ ...textOf(100), description: 'A number with its unit.' }, true),
    },
  };
}
