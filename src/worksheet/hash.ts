/**
 * A short name of a set of inputs, so that two documents, a header and a printed page can be told to belong together.
 */

/**
 * Multiply-and-xor hash of a text's UTF-8 bytes, 32 bits (FNV-1a). It tells accidents apart, not forgeries.
 *
 * @param text - any text
 * @returns eight hexadecimal digits
 *
 * @example
 * hashOf('foobar') // => 'bf9cf968'
 */
export function hashOf(text: string): string {
  let hash = 0x811c9dc5;
  for (const byte of new TextEncoder().encode(text)) hash = Math.imul(hash ^ byte, 0x01000193);
  return (hash >>> 0).toString(16).padStart(8, '0');
}

/** The figures of a value that count: numbers, choices and spreads; not how or why they were written. */
const figuresOf = (key: string, value: unknown): unknown =>
  ['$schema', 'text', 'note', 'from', 'title', 'about', 'halfbit', 'halfbitConverter', 'measurand'].includes(
    key,
  )
    ? undefined
    : value;

/**
 * The hash of what a computation uses: inputs and profile by value and spread. Notes, provenance, titles, the order of keys
 * within a file and the way a number was written do not count.
 *
 * @param parts - inputs, in the order of the schema
 * @returns eight hexadecimal digits in two groups, as `7c41 e09a`
 */
export function inputsHash(...parts: readonly object[]): string {
  const hash = hashOf(JSON.stringify(parts.map(sorted), figuresOf));
  return `${hash.slice(0, 4)} ${hash.slice(4)}`;
}

/** The same value with the keys of its objects in alphabetical order. */
function sorted(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(sorted);
  if (typeof value !== 'object' || value === null) return value;
  return Object.fromEntries(
    Object.keys(value)
      .sort()
      .map((key) => [key, sorted((value as Record<string, unknown>)[key])]),
  );
}
