/** Progress of long work: one line on a terminal, rewritten in place; nothing where standard error is no terminal. */

/** Time between two lines, and before the first, ms. */
const pause = 200;

export class Progress {
  readonly #name: string;
  readonly #size: number;
  readonly #shows = process.stderr.isTTY === true;
  #done = 0;
  #last = Date.now();
  #shown = false;

  /** `size`: bytes in all; 0 where it is not known. */
  constructor(name: string, size: number) {
    this.#name = name;
    this.#size = size;
  }

  add(bytes: number): void {
    this.#done += bytes;
    if (!this.#shows || Date.now() - this.#last < pause) return;
    this.#last = Date.now();
    this.#shown = true;
    const done = `${(this.#done / 1e6).toFixed(1)} MB`;
    const share =
      this.#size > 0
        ? `${Math.floor((100 * this.#done) / this.#size)} % of ${(this.#size / 1e6).toFixed(1)} MB`
        : done;
    process.stderr.write(`\r\u001b[K${this.#name}: ${share}`);
  }

  end(): void {
    if (this.#shown) process.stderr.write('\r\u001b[K');
  }
}
