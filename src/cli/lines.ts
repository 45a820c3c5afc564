/** Lines: standard input a line at a time, however long it is, and standard output in large pieces. */

/** Most characters of a line that are kept; nothing that is read here has more. */
const longest = 4096;

/** The lines of a stream of text, each with its number from 1; a last line may lack its end. */
export async function* numberedLines(
  source: AsyncIterable<string>,
): AsyncGenerator<readonly [readonly string[], number]> {
  let rest = '';
  let first = 1;
  for await (const chunk of source) {
    const lines = (rest + chunk).split('\n');
    rest = lines.pop()!.slice(0, longest);
    if (lines.length > 0) yield [lines, first];
    first += lines.length;
  }
  if (rest !== '') yield [[rest], first];
}

/** Standard input as text. */
export function standardInput(): AsyncIterable<string> {
  process.stdin.setEncoding('utf8');
  return process.stdin;
}

/** Writes to standard output; waits while a slow reader is behind. */
export async function write(text: string): Promise<void> {
  if (!process.stdout.write(text)) {
    await new Promise<void>((done) => {
      process.stdout.once('drain', done);
    });
  }
}
