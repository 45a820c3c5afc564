/** Speeds on recorded codes: ten million of them as text, whole process, beside NumPy scripts that do the same work. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'esbuild';
import { seededRandom } from '../../src/numbers/random.ts';
import type { Speed } from './run.ts';
import { against, median, shown } from './timing.ts';

const count = 10_000_000;

const head = `import sys, json, resource
import numpy as np
`;
const tail = `
lo = int(x.min())
h = np.bincount((x - lo).astype(np.int64))
print(json.dumps(dict(mean=mean, deviation=deviation, count=int(h[len(h) >> 1]), power=float(p[100]), allan=a[10],
  memory=resource.getrusage(resource.RUSAGE_SELF).ru_maxrss/1024)))
`;

/** As anybody would write it. */
const plain = `${head}
x = np.loadtxt(sys.argv[1])
n = len(x)
mean, deviation = float(x.mean()), float(x.std(ddof=1))
L = 2**14
w = np.hanning(L + 1)[:-1]
p = np.zeros(L//2 + 1); k = 0
for i in range(0, n - L + 1, L//2):
    s = x[i:i+L]; p += np.abs(np.fft.rfft((s - s.mean())*w))**2; k += 1
p *= 2/k/w.sum()**2
X = np.concatenate(([0.0], np.cumsum(x)))
a = []; m = 1
while m <= n/3:
    d = X[2*m:] - 2*X[m:-m] + X[:-2*m]
    a.append(float(np.sqrt(np.mean(d**2)/2)/m)); m *= 2
${tail}`;

/** Integers, SciPy's transform over many segments at once, differences in blocks that stay in the cache. */
const tuned = `${head}
from scipy.fft import rfft
x = np.fromstring(open(sys.argv[1]).read(), sep='\\n', dtype=np.float64)
n = len(x)
mean, deviation = float(x.mean()), float(x.std(ddof=1))
L = 2**14
w = np.hanning(L + 1)[:-1]
v = np.lib.stride_tricks.sliding_window_view(x, L)[::L//2]
p = np.zeros(L//2 + 1)
for i in range(0, len(v), 16):
    s = v[i:i+16]; f = rfft((s - s.mean(axis=1, keepdims=True))*w, axis=1); p += (f.real**2 + f.imag**2).sum(axis=0)
p *= 2/len(v)/w.sum()**2
X = np.empty(n + 1); X[0] = 0; np.cumsum(x, out=X[1:])
B = 1 << 15
d = np.empty(B); e = np.empty(B)
a = []; m = 1
while m <= n/3:
    t = n + 1 - 2*m; s = 0.0
    for i in range(0, t, B):
        j = min(t, i + B); u = d[:j-i]; q = e[:j-i]
        np.multiply(X[i+m:j+m], -2, out=q); np.add(X[i+2*m:j+2*m], X[i:j], out=u); u += q; s += u @ u
    a.append(float(np.sqrt(s/t/2)/m)); m *= 2
${tail}`;

interface Ran {
  readonly time: number;
  readonly memory: number;
  readonly figures: Readonly<Record<string, number>>;
}

function ran(program: string, args: readonly string[]): Ran | undefined {
  const start = performance.now();
  const { status, stdout } = spawnSync(program, args, {
    encoding: 'utf8',
    // One thread on both sides.
    env: { ...process.env, OPENBLAS_NUM_THREADS: '1', OMP_NUM_THREADS: '1' },
  });
  const time = (performance.now() - start) / 1000;
  if (status !== 0) return undefined;
  const figures = JSON.parse(stdout) as Record<string, number>;
  return { time, memory: figures.memory!, figures };
}

/** The same figures, or the comparison is none. */
function agree(a: Ran, b: Ran): void {
  for (const name of ['mean', 'deviation', 'count', 'power', 'allan']) {
    const [x, y] = [a.figures[name]!, b.figures[name]!];
    if (Math.abs(x - y) > 1e-6 * Math.abs(y))
      throw new Error(`the peer found another ${name}: ${y}, not ${x}`);
  }
}

export async function recordSpeeds(): Promise<Speed[]> {
  const folder = mkdtempSync(join(tmpdir(), 'halfbit-bench-'));
  try {
    const [codes, script] = [join(folder, 'codes.txt'), join(folder, 'work.mjs')];
    const random = seededRandom(1);
    const chunk = 1_000_000;
    for (let done = 0; done < count; done += chunk) {
      const lines = Array.from({ length: chunk }, (_, i) =>
        Math.floor(2048 + 900 * Math.sin(0.01 * (done + i)) + 1.3 * random.normal() + 0.5),
      );
      writeFileSync(codes, `${lines.join('\n')}\n`, { flag: 'a' });
    }
    await build({
      entryPoints: ['test/bench/recordWork.ts'],
      bundle: true,
      platform: 'node',
      format: 'esm',
      outfile: script,
      logLevel: 'silent',
    });
    writeFileSync(join(folder, 'plain.py'), plain);
    writeFileSync(join(folder, 'tuned.py'), tuned);
    const python = ['/usr/bin/python3', 'python3'].find(
      (program) => spawnSync(program, ['-c', 'import numpy, scipy.fft']).status === 0,
    );
    const [one, two]: [Ran[], Ran[]] = [[], []];
    const peers: Record<'plain' | 'tuned', Ran[]> = { plain: [], tuned: [] };
    // One after the other, so that a busy machine is busy for all.
    for (let round = 0; round < 5; round++) {
      one.push(ran(process.execPath, [script, codes])!);
      two.push(ran(process.execPath, [script, codes, '2'])!);
      agree(one[0]!, two[round]!);
      for (const kind of ['plain', 'tuned'] as const) {
        const peer = python && ran(python, [join(folder, `${kind}.py`), codes]);
        if (!peer) continue;
        agree(one[0]!, peer);
        peers[kind].push(peer);
      }
    }
    const timeOf = (runs: readonly Ran[]): number | undefined =>
      runs.length > 0 ? median(runs.map((r) => r.time)) : undefined;
    const mebibytes = (runs: readonly Ran[]): string =>
      runs.length > 0 ? `${Math.round(Math.max(...runs.map((r) => r.memory)))} MiB` : 'not installed here';
    const work = '10⁷ codes as text, whole process';
    const beside = (
      threads: string,
      runs: readonly Ran[],
      aim: string,
      kind: keyof typeof peers,
      name: string,
    ): Speed => {
      const time = timeOf(runs)!;
      return {
        work: `${work}, ${threads}`,
        measured: shown(time),
        aim: `${aim} of peer`,
        ...against(time, timeOf(peers[kind]), name),
      };
    };
    return [
      beside('one thread', one, '0.6', 'tuned', 'NumPy and SciPy, tuned, one thread'),
      beside('two threads', two, '0.5', 'tuned', 'NumPy and SciPy, tuned, one thread'),
      beside('one thread', one, '0.25', 'plain', 'NumPy, plain (loadtxt)'),
      beside('two threads', two, '0.25', 'plain', 'NumPy, plain (loadtxt)'),
      {
        work: '10⁷ codes as text, memory of two threads',
        measured: mebibytes(two),
        aim: '150 MB',
        ratio: '',
        peer: `NumPy plain ${mebibytes(peers.plain)}, tuned ${mebibytes(peers.tuned)}`,
      },
    ];
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
