import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { canonical } from '../../src/worksheet/canonical.ts';
import { hashOf } from '../../src/worksheet/hash.ts';
import { Problems, WorksheetError } from '../../src/worksheet/problem.ts';
import { readWorksheet, type Worksheet } from '../../src/worksheet/read.ts';
import { profileSchema } from '../../src/worksheet/schema/converter.ts';
import { fieldAt, pathsOf } from '../../src/worksheet/schema/lookup.ts';
import { worksheetSchema } from '../../src/worksheet/schema/worksheet.ts';
import { nodeAt, treeOf } from '../../src/worksheet/source.ts';
import { withoutValue, withProvenance, withValue } from '../../src/worksheet/write.ts';
import { beehiveWith, demo, profiles, profileTexts, worksheetTexts } from './demos.ts';

const names = Object.keys(worksheetTexts);

/** The text that stands at a path as somebody would type it; undefined where nothing does. */
function typedAt({ text }: Worksheet, path: string): string | undefined {
  const node = nodeAt(treeOf(text, new Problems(text))!, path);
  const value = node?.type === 'object' ? nodeAt(node, 'value') : node;
  return value === undefined || value.type === 'array' || value.type === 'object'
    ? undefined
    : String(value.value);
}

const refusedBy = (act: () => unknown): string[] => {
  try {
    act();
  } catch (error) {
    return (error as WorksheetError).problems.map((p) => p.message);
  }
  return [];
};

describe('round trips', () => {
  it.each(names)('%s: reading, then writing, gives the same bytes', (name) => {
    expect(demo(name).text).toBe(worksheetTexts[name]);
  });

  it('a change and its undoing give the same bytes, for any one value of any demo', () => {
    const paths = names.flatMap((name) =>
      pathsOf(worksheetSchema, demo(name).inputs).map((path) => ({ name, path })),
    );
    let changed = 0;
    fc.assert(
      fc.property(fc.constantFrom(...paths), fc.integer({ min: 0, max: 4 }), ({ name, path }, pick) => {
        const before = demo(name);
        const field = fieldAt(worksheetSchema, path, before.inputs)!;
        const typed = typedAt(before, path);
        const texts =
          field.is === 'quantity'
            ? [field.example, '3 V', '2 K', '1.5 kohm', '250 us']
            : field.is === 'choice'
              ? field.values.map(String)
              : field.is === 'flag'
                ? ['true', 'false']
                : field.is === 'text'
                  ? ['<b>"x"</b>', 'ä\\n']
                  : ['1', '2', '4', '8', '16'];
        let after: Worksheet;
        try {
          after = withValue(before, path, texts[pick % texts.length]!);
        } catch (error) {
          if (error instanceof WorksheetError) return;
          throw error;
        }
        const back = typed === undefined ? withoutValue(after, path) : withValue(after, path, typed);
        expect(back.text).toBe(before.text);
        expect(back.hash).toBe(before.hash);
        if (after.text !== before.text) changed++;
      }),
      { seed: 20, numRuns: 800 },
    );
    // The property says nothing where every change is refused.
    expect(changed).toBeGreaterThan(150);
  });
});

describe('withValue', () => {
  it('replaces the characters of one value and nothing else', () => {
    const changed = withValue(demo('beehive'), 'sensor.r25', '100 kΩ');
    expect(changed.text).toBe(
      beehiveWith('"value": "10 kohm", "from": "datasheet"', '"value": "100 kΩ", "from": "datasheet"'),
    );
    expect(changed.inputs.sensor).toMatchObject({ r25: { value: 1e5, from: 'datasheet', text: '100 kΩ' } });
  });

  it('keeps the short form short and numbers numbers', () => {
    expect(withValue(demo('beehive'), 'requirement.step', '4 mK').text).toBe(beehiveWith('"5 mK"', '"4 mK"'));
    expect(withValue(demo('beehive'), 'averaging.ratio', '32').text).toBe(
      beehiveWith('"ratio": 64', '"ratio": 32'),
    );
    expect(withValue(demo('beehive'), 'sampling.sampleCycles', '14').text).toBe(
      beehiveWith('"value": 8, "from"', '"value": 14, "from"'),
    );
    expect(withValue(demo('beehive'), 'conditioning.divider.side', 'high').text).toBe(
      beehiveWith('"side": "low"', '"side": "high"'),
    );
    expect(withValue(demo('beehive'), 'conditioning.excitation.switched', 'false').text).toBe(
      beehiveWith('"switched": true', '"switched": false'),
    );
    expect(withValue(demo('workbench'), 'conditioning.interference.0.amplitude', '80 uV').text).toContain(
      '"80 uV"',
    );
  });

  it('puts a missing value where the schema has it, in the file’s own hand', () => {
    const onItsLine = withValue(demo('beehive'), 'requirement.latency', '10 ms');
    expect(onItsLine.text).toBe(
      beehiveWith(
        '"requirement" },\n    "batteryLife"',
        '"requirement" },\n    "latency": "10 ms",\n    "batteryLife"',
      ),
    );
    const inLine = withValue(demo('beehive'), 'converter.currents.converter', '0.5 mA');
    expect(inLine.text).toBe(
      beehiveWith('{ "sleep": "1.2 uA" }', '{ "converter": "0.5 mA", "sleep": "1.2 uA" }'),
    );
    const atTheEnd = withValue(demo('beehive'), 'converter.times.wake', '7 us');
    expect(atTheEnd.text).toBe(
      beehiveWith(
        '"currents": { "sleep": "1.2 uA" }',
        '"currents": { "sleep": "1.2 uA" },\n    "times": { "wake": "7 us" }',
      ),
    );
    expect(atTheEnd.profile.times.wake.value).toBe(7e-6);
    const crlf = readWorksheet({ text: worksheetTexts.beehive!.replaceAll('\n', '\r\n'), profiles });
    expect(withValue(crlf, 'requirement.latency', '10 ms').text).toBe(
      onItsLine.text.replaceAll('\n', '\r\n'),
    );
  });

  it('leaves a value that says the same as it is', () => {
    const { text } = demo('beehive');
    const escaped = text.replace('"5 mK"', '"5\\u0020mK"');
    const read = readWorksheet({ text: escaped, profiles });
    expect(withValue(read, 'requirement.step', '5 mK')).toBe(read);
  });

  it('refuses what the worksheet would refuse, and paths that are none', () => {
    const beehive = demo('beehive');
    expect(refusedBy(() => withValue(beehive, 'averaging.ratio', '48'))).toEqual([
      'averaging.ratio: 48 is not a power of two; the profile allows 2 … 256',
    ]);
    expect(refusedBy(() => withValue(beehive, 'averaging.ratio', '0x10'))).toEqual([
      'averaging.ratio: "0x10" will not do; allowed whole numbers 1 … 65536',
    ]);
    expect(refusedBy(() => withValue(beehive, 'requirement.period', '1'))).toEqual([
      'requirement.period: "1" has no unit; write 1 s, 1 min or 1 h',
    ]);
    expect(refusedBy(() => withValue(beehive, 'averaging.ratoi', '8'))).toEqual([
      'averaging.ratoi: no input has this path; the nearest is averaging.ratio',
    ]);
    expect(refusedBy(() => withValue(beehive, '__proto__.polluted', '8'))[0]).toMatch(
      'no input has this path',
    );
    expect(refusedBy(() => withValue(beehive, 'averaging', '8'))).toEqual([
      'averaging: this is no single value; name one within it',
    ]);
    expect(refusedBy(() => withValue(beehive, '', '8'))[0]).toMatch('no input has this path');
  });
});

describe('withoutValue', () => {
  it('takes a value out, and an object that is empty after that', () => {
    expect(withoutValue(demo('beehive'), 'converter.currents.sleep').text).toBe(
      beehiveWith(',\n    "currents": { "sleep": "1.2 uA" }', ''),
    );
    expect(withoutValue(demo('beehive'), 'averaging.rounding').text).toBe(
      beehiveWith('"shift": 3, "rounding": "truncate"', '"shift": 3'),
    );
  });

  it('leaves alone what is not there, and refuses to take what is needed', () => {
    const beehive = demo('beehive');
    expect(withoutValue(beehive, 'requirement.latency')).toBe(beehive);
    expect(refusedBy(() => withoutValue(beehive, 'averaging.ratio'))).toEqual([
      'averaging.ratio: missing; needed is the oversampling ratio, whole numbers 1 … 65536',
    ]);
  });
});

describe('withProvenance', () => {
  it('makes the long form of the short one', () => {
    const changed = withProvenance(demo('beehive'), 'requirement.step', {
      from: 'requirement',
      note: 'agreed',
    });
    expect(changed.text).toBe(
      beehiveWith('"5 mK"', '{ "value": "5 mK", "from": "requirement", "note": "agreed" }'),
    );
    const count = withProvenance(demo('beehive'), 'averaging.ratio', { from: 'calculated' });
    expect(count.text).toBe(beehiveWith('"ratio": 64', '"ratio": { "value": 64, "from": "calculated" }'));
    expect(count.hash).toBe(demo('beehive').hash);
  });

  it('changes the long form in place and adds what is missing', () => {
    const changed = withProvenance(demo('beehive'), 'converter.noise', {
      from: 'datasheet',
      note: 'page 7',
      spread: '10 %',
    });
    expect(changed.text).toBe(
      beehiveWith(
        '{ "value": "0.6 LSB", "from": "measured", "note": "input shorted, 4096 codes, finished board" }',
        '{ "value": "0.6 LSB", "from": "datasheet", "note": "page 7", "spread": "10 %" }',
      ),
    );
    expect(changed.inputs.converter.noise).toMatchObject({ spread: 0.06, note: 'page 7' });
  });

  it('refuses what has no provenance', () => {
    expect(
      refusedBy(() => withProvenance(demo('beehive'), 'conditioning.wiring', { from: 'measured' })),
    ).toEqual(['conditioning.wiring: no figure with a provenance stands here']);
  });
});

describe('the hash', () => {
  it('changes with any figure, and with none of the words', () => {
    const beehive = demo('beehive');
    expect(beehive.hash).toMatch(/^[0-9a-f]{4} [0-9a-f]{4}$/);
    for (const [path, text] of [
      ['averaging.ratio', '32'],
      ['requirement.step', '4 mK'],
      ['converter.noise', '0.61 LSB'],
      ['conditioning.divider.side', 'high'],
      ['conditioning.excitation.switched', 'false'],
    ] as const) {
      expect(withValue(beehive, path, text).hash, path).not.toBe(beehive.hash);
    }
    for (const [path, text] of [
      ['title', 'another'],
      ['requirement.measurand', 'temperature'],
      ['sensor.r25', '10000 ohm'],
      ['sensor.r25', '10k'],
    ] as const) {
      expect(withValue(beehive, path, text).hash, path).toBe(beehive.hash);
    }
  });

  it('does not mind who said so, or what was noted', () => {
    const noted = withProvenance(demo('beehive'), 'sensor.r25', { from: 'measured', note: 'bridge' });
    expect(noted.hash).toBe(demo('beehive').hash);
    const spread = withProvenance(demo('beehive'), 'sensor.r25', { from: 'measured', spread: '2 %' });
    expect(spread.hash).not.toBe(demo('beehive').hash);
  });

  it('is the usual 32-bit one', () => {
    // Its published test vectors, from memory.
    expect([hashOf(''), hashOf('a'), hashOf('foobar')]).toEqual(['811c9dc5', 'e40c292c', 'bf9cf968']);
  });

  it('does not mind the order of the keys', () => {
    const text = beehiveWith('"ratio": 64, "shift": 3', '"shift": 3, "ratio": 64');
    expect(readWorksheet({ text, profiles }).hash).toBe(demo('beehive').hash);
  });
});

describe('the canonical form', () => {
  it('is what the demos and the profiles are written in', () => {
    for (const text of Object.values(worksheetTexts)) expect(canonical(text, worksheetSchema)).toBe(text);
    for (const text of Object.values(profileTexts)) expect(canonical(text, profileSchema)).toBe(text);
  });

  it('comes back from any layout and order', () => {
    for (const text of Object.values(worksheetTexts)) {
      expect(canonical(JSON.stringify(JSON.parse(text)), worksheetSchema)).toBe(text);
      const { halfbit, ...rest } = JSON.parse(text) as Record<string, unknown>;
      expect(canonical(JSON.stringify({ ...rest, halfbit }, null, '\t'), worksheetSchema)).toBe(text);
    }
  });
});
