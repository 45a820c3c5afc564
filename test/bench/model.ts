/** Speeds of the computation. */
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { accumulate } from '../../src/chain/averaging/accumulate.ts';
import { oversample, oversampleTable } from '../../src/chain/averaging/oversample.ts';
import { modes, unsettledPart } from '../../src/chain/sampling/network.ts';
import { normalTail } from '../../src/numbers/normal.ts';
import { seededRandom } from '../../src/numbers/random.ts';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { readProfile } from '../../src/worksheet/profile.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { searchOf } from '../../src/worksheet/searchOf.ts';
import { settingsOf } from '../../src/worksheet/settingsOf.ts';
import { drawnOut, manyDraws, witnessRun } from '../../src/worksheet/witnessOf.ts';
import type { Speed } from './run.ts';
import { against, python, seconds, shown } from './timing.ts';

/** A simulation of averaged results: rms of the error over random inputs, for about one part in a thousand. */
function simulated(noiseLsb: number, ratio: number, shift: number, bursts: number): number {
  const random = seededRandom(1);
  const codes = new Int32Array(ratio);
  let sum = 0;
  let square = 0;
  for (let i = 0; i < bursts; i++) {
    const x = 2000 + random.uniform() * 2 ** shift;
    for (let k = 0; k < ratio; k++) codes[k] = Math.floor(x + noiseLsb * random.normal() + 0.5);
    const [result] = accumulate({
      codes,
      ratio,
      shift,
      rounding: 'truncate',
      registerBits: 31,
      onOverflow: 'saturate',
    });
    const error = (result! * 2 ** shift) / ratio - x;
    sum += error;
    square += error * error;
  }
  return Math.sqrt(square / bursts - (sum / bursts) ** 2);
}

const powers = (last: number): number[] => Array.from({ length: last + 1 }, (_, i) => 2 ** i);

function oversampling(): Speed[] {
  const usual: number[] = [];
  const anywhere: number[] = [];
  for (const noiseLsb of [0, 0.02, 0.15, 0.25, 0.5, 1, 3]) {
    for (const ratio of [1, 3, 16, 100, 256, 4096, 65536]) {
      for (const shift of [0, 2, 4, 8, 12, 16, 20]) {
        const time = seconds(() => oversample({ bits: 12, noiseLsb, ratio, shift }), { repeats: 3, warm: 1 });
        anywhere.push(time);
        if (noiseLsb >= 0.25 && shift <= Math.log2(ratio)) usual.push(time);
      }
    }
  }
  const one = seconds(() => oversample({ bits: 12, noiseLsb: 0.5, ratio: 256, shift: 4 }));
  const simulation = seconds(() => simulated(0.5, 256, 4, 5e5 / 2), { repeats: 1, warm: 0 });
  const table = {
    bits: 12,
    noiseLsb: 0.6,
    ratios: powers(10),
    shifts: Array.from({ length: 11 }, (_, i) => i),
  };
  const cold = seconds(() => oversampleTable({ ...table, noiseLsb: 0.6 }), { repeats: 1, warm: 0 });
  const warm = seconds(() => oversampleTable(table));
  const none = { ratio: '', peer: '' };
  return [
    {
      work: 'oversample, 0.5 LSB, 256/4',
      measured: shown(one),
      aim: '2 ms',
      ...against(one, simulation, 'simulation to 1e-3'),
    },
    {
      work: 'oversample, slowest, σ ≥ 0.25, s ≤ log2 R',
      measured: shown(Math.max(...usual)),
      aim: '2 ms',
      ...none,
    },
    { work: 'oversample, slowest anywhere', measured: shown(Math.max(...anywhere)), aim: '10 ms', ...none },
    { work: 'every ratio × shift, 121 settings, first', measured: shown(cold), aim: '50 ms', ...none },
    {
      work: 'every ratio × shift, again',
      measured: shown(warm),
      aim: '5 ms',
      ...against(warm, 121 * one, 'one by one'),
    },
  ];
}

function settling(): Speed {
  const times = Array.from({ length: 65 }, (_, i) => (i + 1) * 3e-8);
  const out = new Float64Array(65);
  const network = {
    sourceResistance: 1e4,
    pinCapacitance: 1e-9,
    switchResistance: 1e3,
    sampleCapacitance: 16e-12,
  };
  const curve =
    seconds(
      () => {
        for (let n = 0; n < 1000; n++) {
          const m = modes(
            network.sourceResistance,
            network.pinCapacitance,
            network.switchResistance,
            network.sampleCapacitance,
          );
          for (let i = 0; i < 65; i++) out[i] = unsettledPart(m, times[i]!);
        }
      },
      { repeats: 9 },
    ) / 1000;
  // The simulator's own time for 200 cases in one process, less that of none.
  const simulator = (cases: number): number | undefined => {
    const runs = Array.from({ length: cases }, () => [
      'tran 40n 2u uic',
      'print v(c)[length(v(c))-1]',
    ]).flat();
    const parts = ['V1 in 0 DC 3', 'R1 in a 10k', 'C1 a 0 1n IC=3', 'R2 a c 1k', 'C2 c 0 16p IC=0'];
    const path = join(mkdtempSync(join(tmpdir(), 'halfbit-bench-')), 'case.cir');
    writeFileSync(
      path,
      ['two capacitors', ...parts, '.control', ...runs, 'quit', '.endc', '.end', ''].join('\n'),
    );
    const start = performance.now();
    const { stdout } = spawnSync('ngspice', ['-b', path], { encoding: 'utf8' });
    const time = (performance.now() - start) / 1000;
    rmSync(dirname(path), { recursive: true });
    // Only a run that gave every result counts.
    return (stdout?.match(/= 2\.[0-9]+e\+00/g) ?? []).length === cases ? time : undefined;
  };
  const [some, none] = [simulator(200), simulator(0)];
  const peer = some === undefined || none === undefined ? undefined : (some - none) / 200;
  return {
    work: 'settling, a curve of 65 points',
    measured: shown(curve),
    aim: '0.01 of peer',
    ...against(curve, peer, 'circuit simulator, a case'),
  };
}

function tails(): Speed {
  const zs = Float64Array.from({ length: 100_000 }, (_, i) => (i / 100_000) * 37);
  const time =
    seconds(() => {
      let sum = 0;
      for (const z of zs) sum += normalTail(z);
      return sum;
    }) / zs.length;
  const scipy = python(
    'import numpy as np,time;from scipy.special import ndtr;z=-np.linspace(0,37,100000);ndtr(z);t=[];\nfor _ in range(15):\n a=time.perf_counter();ndtr(z);t.append(time.perf_counter()-a)\nprint(sorted(t)[7]/1e5)',
  );
  return {
    work: 'upper normal tail, 0 … 37 σ, a value',
    measured: shown(time),
    aim: '',
    ...against(time, scipy, 'SciPy ndtr (5 digits fewer beyond 8 σ)'),
  };
}

function deviates(): Speed {
  const buffer = new Float64Array(16384);
  const random = seededRandom(3);
  const count = 610;
  const time = seconds(
    () => {
      for (let i = 0; i < count; i++) random.fillNormal(buffer);
    },
    { repeats: 5 },
  );
  const numpy = python(
    'import numpy as np,time;g=np.random.Generator(np.random.PCG64(3));b=np.empty(16384);t=[]\nfor _ in range(5):\n a=time.perf_counter()\n for _ in range(610): g.standard_normal(out=b)\n t.append(time.perf_counter()-a)\nprint(sorted(t)[2])',
  );
  return {
    work: 'Gaussian deviates, 10⁷',
    measured: shown(time),
    aim: '1 of peer',
    ...against(time, numpy, 'NumPy PCG64 in chunks'),
  };
}

const profiles = Object.fromEntries(
  ['low-power', 'plain', 'fast'].map((name) => [
    name,
    readProfile({ text: readFileSync(`data/converters/${name}.json`, 'utf8') }),
  ]),
);
const textOf = (name: string): string => readFileSync(`data/worksheets/${name}.json`, 'utf8');

/** The search over every setting: the demo on the largest profile, and the same with nothing to reject by but period and settling. */
function planning(): Speed[] {
  const read = (text: string) => evaluate({ worksheet: readWorksheet({ text, profiles }) });
  const workbench = read(textOf('workbench'));
  const free = JSON.parse(textOf('workbench'));
  const { range, period } = free.requirement;
  free.requirement = { range, period };
  free.sampling = { clockDivider: 6, sampleCycles: 22, bits: 12, trigger: 'burst' };
  const unbounded = read(JSON.stringify(free));
  const { evaluated } = searchOf(unbounded);
  return [
    { e: workbench, what: 'workbench', first: coldPlan },
    { e: unbounded, what: 'workbench without wants', first: undefined },
  ].flatMap(({ e, what, first }) => [
    ...(first === undefined
      ? []
      : [
          {
            work: `plan: ${what}, ${evaluated} settings, first`,
            measured: shown(first),
            aim: '100 ms',
            ratio: '',
            peer: '',
          },
        ]),
    {
      work: `plan: ${what}, again`,
      measured: shown(seconds(() => searchOf(e), { repeats: 25, warm: 10 })),
      aim: '20 ms',
      ratio: '',
      peer: '',
    },
  ]);
}

/** The first search of this process, before anything else has warmed up what it uses. */
const coldPlan = ((): number => {
  const e = evaluate({ worksheet: readWorksheet({ text: textOf('workbench'), profiles }) });
  return seconds(() => searchOf(e), { repeats: 1, warm: 0 });
})();

function worksheets(): Speed[] {
  return ['beehive', 'cellar', 'workbench'].map((name) => {
    const text = textOf(name);
    const time = seconds(() => settingsOf(evaluate({ worksheet: readWorksheet({ text, profiles }) })));
    return {
      work: `${name}: read, evaluate, all settings`,
      measured: shown(time),
      aim: '5 ms',
      ratio: '',
      peer: '',
    };
  });
}

/**
 * A million readings of the beehive's board, drawn at two temperatures, with its interval. The peer draws as many quantities of the
 * same distributions in whole columns, through the same divider and thermistor, and sorts.
 */
function drawing(): Speed {
  const e = evaluate({ worksheet: readWorksheet({ text: textOf('beehive'), profiles }) });
  const time = seconds(() => drawnOut(witnessRun(e)), { repeats: 3, warm: 1 });
  const numpy = python(`import numpy as np, time
g = np.random.Generator(np.random.PCG64(1)); n = ${manyDraws}
u = lambda a: g.uniform(-a, a, n)
def read(t, r25, beta, divider, gain, add, shift):
  r = 1e4*np.exp(3435*(1/(t + 273.15) - 1/298.15))
  r = r*(1 + r25)*np.exp(beta*np.log(r/1e4))
  x = (r/(r + 1e4*(1 + divider))*4096*(1 + gain) + add)/4096
  return 1/(np.log(x/(1 - x))/3435 + 1/298.15) - 273.15 + shift - t
def run():
  r25, beta, divider, gain, offset, settling = u(.01), u(.01), u(.001), u(.0012), u(2), u(.001)
  here = read(20, r25, beta, divider, gain + u(2e-4), offset + u(1.5) + u(.4) + settling + u(1) + .1*g.standard_normal(n), u(1e-5))
  point = read(35, r25, beta, divider, gain, offset + u(1.5) + settling, 0)
  y = np.sort(here - point - .05*g.standard_normal(n)); return y[n//40], y[-n//40], y.std()
run(); t = []
for _ in range(3): a = time.perf_counter(); run(); t.append(time.perf_counter() - a)
print(sorted(t)[1])`);
  return {
    work: 'beehive: 10⁶ draws of the whole board',
    measured: shown(time),
    aim: '1 s',
    ...against(time, numpy, 'NumPy PCG64, the same in columns'),
  };
}

export const modelSpeeds = (): Speed[] => [
  ...oversampling(),
  settling(),
  tails(),
  deviates(),
  ...worksheets(),
  ...planning(),
  drawing(),
];
