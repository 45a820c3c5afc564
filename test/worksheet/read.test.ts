import { describe, expect, it } from 'vitest';
import { WorksheetError } from '../../src/worksheet/problem.ts';
import { readProfile } from '../../src/worksheet/profile.ts';
import { readWorksheet, wantsCompound } from '../../src/worksheet/read.ts';
import { beehiveWith, demo, profiles, profileTexts, worksheetTexts } from './demos.ts';

/** The problems of a text, each as `path: reason`, with the piece of the text that each points at. */
function problemsOf(text: string): { messages: string[]; at: string[] } {
  try {
    readWorksheet({ text, profiles });
  } catch (error) {
    if (!(error instanceof WorksheetError)) throw error;
    const lines = text.split('\n');
    return {
      messages: error.problems.map((p) => p.message),
      at: error.problems.map((p) => lines[p.line - 1]!.slice(p.column - 1)),
    };
  }
  return { messages: [], at: [] };
}

const messagesOf = (text: string): string[] => problemsOf(text).messages;

describe('reading', () => {
  it('turns text with units into SI, with where it comes from', () => {
    const { inputs, profile } = demo('beehive');
    expect(inputs.requirement.period).toEqual({ value: 60, unit: 's', from: 'requirement', text: '1 min' });
    expect(inputs.requirement.step).toEqual({ value: 0.005, unit: 'K', from: 'assumed', text: '5 mK' });
    expect(inputs.requirement.range.low.value).toBe(20);
    expect(inputs.sensor).toMatchObject({
      kind: 'thermistor',
      r25: { value: 10_000, unit: 'ohm', spread: 100, from: 'datasheet' },
      dissipation: { value: 1.5e-3, unit: 'W/K' },
    });
    expect(inputs.averaging.ratio).toEqual({ value: 64, from: 'assumed' });
    expect(inputs.sampling.clockDivider).toMatchObject({ value: 6, from: 'calculated' });
    expect(inputs.power?.battery?.capacity.value).toBe(0.22 * 3600);
    // What the worksheet overrides stands in the profile's place, the rest of the profile stays.
    expect(profile.noise).toMatchObject({ value: 0.6, from: 'measured' });
    expect(profile.currents.sleep.value).toBe(1.2e-6);
    expect(profile.currents.converter.value).toBe(0.42e-3);
    expect(profiles['low-power']!.noise.value).toBe(0.7);
  });

  it('takes the unit of the measurand from the sensor', () => {
    const { requirement, watchdog } = demo('cellar').inputs;
    expect(requirement.range.high).toMatchObject({ value: 6.4, unit: 'V' });
    expect(requirement.resolution).toMatchObject({ value: 0.002, unit: 'V' });
    expect(watchdog?.below).toMatchObject({ value: 4, unit: 'V' });
    expect(demo('beehive').inputs.watchdog?.above).toMatchObject({ value: 37, unit: 'degC' });
  });

  it('takes a watchdog limit in volts at the pin where the measurand is a temperature', () => {
    const text = beehiveWith('"value": "37 degC"', '"value": "1.17 V"');
    const { inputs } = readWorksheet({ text, profiles });
    expect(inputs.watchdog?.above).toMatchObject({ value: 1.17, unit: 'V' });
  });

  it('takes a spread after ± and turns a share into a half-width', () => {
    const text = beehiveWith('"step": "5 mK"', '"step": "5 mK ± 10 %"');
    expect(readWorksheet({ text, profiles }).inputs.requirement.step?.spread).toBeCloseTo(0.0005, 12);
  });

  it('lets a byte order mark and other line ends pass', () => {
    for (const text of [
      `\ufeff${worksheetTexts.beehive}`,
      worksheetTexts.beehive!.replaceAll('\n', '\r\n'),
    ]) {
      const read = readWorksheet({ text, profiles });
      expect(read.text).toBe(text);
      expect(read.hash).toBe(demo('beehive').hash);
    }
  });

  it('keeps markup as the text that it is', () => {
    const text = beehiveWith(
      '"Brood-nest temperature, cell side of frame 5"',
      '"<script>alert(1)</script> & \\"x\\""',
    );
    expect(readWorksheet({ text, profiles }).inputs.title).toBe('<script>alert(1)</script> & "x"');
  });
});

describe('errors: one figure', () => {
  const cases: readonly [what: string, text: string, message: string, at: string][] = [
    [
      'a ratio that the profile does not have',
      beehiveWith('"ratio": 64', '"ratio": 48'),
      'averaging.ratio: 48 is not a power of two; the profile allows 2 … 256',
      '48, "shift"',
    ],
    [
      'a ratio beyond the profile',
      beehiveWith('"ratio": 64', '"ratio": 512'),
      'averaging.ratio: 512 is too large; the profile allows 2 … 256',
      '512',
    ],
    [
      'a count as text',
      beehiveWith('"ratio": 64', '"ratio": "64"'),
      'averaging.ratio: "64" will not do; allowed whole numbers 1 … 65536',
      '"64"',
    ],
    [
      'a count that is not whole',
      beehiveWith('"ratio": 64', '"ratio": 64.5'),
      'averaging.ratio: 64.5 will not do; allowed whole numbers 1 … 65536',
      '64.5',
    ],
    [
      'a number beyond all doubles',
      beehiveWith('"ratio": 64', '"ratio": 1e999'),
      'averaging.ratio: Infinity will not do; allowed whole numbers 1 … 65536',
      '1e999',
    ],
    [
      'a shift beyond the profile',
      beehiveWith('"shift": 3', '"shift": 9'),
      'averaging.shift: 9 is too large; the profile allows 0 … 8',
      '9',
    ],
    [
      'a rounding that the hardware lacks',
      beehiveWith('"rounding": "truncate"', '"rounding": "round"'),
      'averaging.rounding: the profile’s shift cannot do this; it allows "truncate"',
      '"round"',
    ],
    [
      'a choice that is none',
      beehiveWith('"rounding": "truncate"', '"rounding": "floor"'),
      'averaging.rounding: "floor" will not do; allowed "truncate" or "round"',
      '"floor"',
    ],
    [
      'a bare number in a text',
      beehiveWith('"step": "5 mK"', '"step": "5"'),
      'requirement.step: "5" has no unit; write 5 K or 5 mK',
      '"5"',
    ],
    [
      'a bare number',
      beehiveWith('"step": "5 mK"', '"step": 0.005'),
      'requirement.step: 0.005 has no unit; write text with a unit, as "5 mK"',
      '0.005',
    ],
    [
      'a bare number in the long form',
      beehiveWith('"value": "10 kohm", "from": "datasheet"', '"value": 10000, "from": "datasheet"'),
      'sensor.r25: 10000 has no unit; write text with a unit, as "10 kohm"',
      '10000',
    ],
    [
      'a unit of another dimension',
      beehiveWith('"step": "5 mK"', '"step": "5 mV"'),
      'requirement.step: "5 mV" is a voltage; write a temperature difference, 1 K or 1 mK',
      '"5 mV"',
    ],
    [
      'a slope that is not per kelvin',
      beehiveWith('"value": "1.5 mW/K"', '"value": "1.5 mW"'),
      'sensor.dissipation: "1.5 mW" is not per kelvin; write it in W/K',
      '"1.5 mW"',
    ],
    [
      'a value outside its physical range',
      beehiveWith('"value": "3435 K"', '"value": "34 K"'),
      'sensor.beta: 34 K is out of range; allowed 100 K … 10000 K',
      '"34 K"',
    ],
    [
      'a value below zero',
      beehiveWith('"value": "0.6 LSB"', '"value": "-0.6 LSB"'),
      'converter.noise: -0.6 LSB is out of range; allowed 0 LSB … 1000 LSB',
      '"-0.6 LSB"',
    ],
    [
      'a value too large for a number',
      beehiveWith('"value": "10 kohm", "from": "datasheet"', '"value": "1e999 ohm", "from": "datasheet"'),
      'sensor.r25: "1e999 ohm" is too large for a number',
      '"1e999 ohm"',
    ],
    [
      'a text of great length where a quantity is due',
      beehiveWith('"step": "5 mK"', `"step": "${' '.repeat(200_000)}5 mK"`),
      `requirement.step: "${' '.repeat(40)}…" has 200004 characters; at most 100 are read`,
      '"   ',
    ],
    [
      'a provenance that is none',
      beehiveWith('"value": "10 kohm", "from": "datasheet"', '"value": "10 kohm", "from": "memory"'),
      'sensor.r25.from: "memory" will not do; allowed "datasheet", "measured", "calculated", "requirement" or "assumed"',
      '"memory"',
    ],
    [
      'a spread in another unit',
      beehiveWith('"from": "datasheet", "spread": "1 %" }', '"from": "datasheet", "spread": "1 mV" }'),
      'sensor.r25.spread: "1 mV" is a voltage; write a resistance, 1 ohm or 1 kohm',
      '"1 mV"',
    ],
    [
      'two spreads',
      beehiveWith('"value": "10 kohm", "from": "datasheet"', '"value": "10 kohm ± 2 %", "from": "datasheet"'),
      'sensor.r25.spread: "1 %" is a second spread; the value has one after its ±',
      '"1 %"',
    ],
    [
      'a flag that is none',
      beehiveWith('"switched": true', '"switched": "yes"'),
      'conditioning.excitation.switched: "yes" will not do; allowed true or false',
      '"yes"',
    ],
    [
      'a title too long',
      beehiveWith('"title": "Brood', `"title": "${'x'.repeat(200)}`),
      `title: "${'x'.repeat(40)}…" will not do; allowed text of up to 120 characters`,
      '"xxx',
    ],
    [
      'a list of the wrong length',
      beehiveWith(/"points": \[[\s\S]*?\n {4}\]/, '"points": []'),
      'calibration.points: a list of 0 will not do; allowed a list of 1 … 20',
      '[]',
    ],
    [
      'a number where an object is due',
      beehiveWith(/"averaging": \{.*\}/, '"averaging": 64'),
      'averaging: 64 will not do; allowed an object in { }',
      '64',
    ],
  ];
  it.each(cases)('%s', (_, text, message, at) => {
    const { messages, at: places } = problemsOf(text);
    expect(messages).toEqual([message]);
    expect(places[0]!.startsWith(at)).toBe(true);
  });
});

describe('errors: keys', () => {
  it('an unknown key, with the nearest known one', () => {
    expect(messagesOf(beehiveWith('"ratio": 64', '"ratoi": 64'))).toEqual([
      'averaging.ratoi: no key has this name; the nearest is "ratio"',
    ]);
  });

  it('a missing figure, a missing choice, a missing object, a missing kind', () => {
    expect(messagesOf(beehiveWith(/"period": .*\n/, ''))).toEqual([
      'requirement.period: missing; needed is the reading period, as "1 min"',
    ]);
    expect(messagesOf(beehiveWith('"ratio": 64, ', ''))).toEqual([
      'averaging.ratio: missing; needed is the oversampling ratio, whole numbers 1 … 65536',
    ]);
    expect(messagesOf(beehiveWith(/,\s*"trigger": "burst"/, ''))).toEqual([
      'sampling.trigger: missing; needed is "burst" or "conversion"',
    ]);
    expect(messagesOf(beehiveWith(/"averaging": \{.*\n/, ''))).toEqual([
      'averaging: missing; needed is an object with "ratio", "shift"',
    ]);
    const kinds =
      '"thermistor", "platinum", "linear", "die", "divider", "thermocouple", "shunt", "currentLoop", "potentiometer", "bridge" or "table"';
    expect(messagesOf(beehiveWith('"kind": "thermistor",', ''))).toEqual([
      `sensor.kind: missing; allowed ${kinds}`,
    ]);
    expect(messagesOf(beehiveWith('"kind": "thermistor"', '"kind": "hygrometer"'))).toEqual([
      `sensor.kind: "hygrometer" will not do; allowed ${kinds}`,
    ]);
  });

  it('a key twice', () => {
    expect(messagesOf(beehiveWith('"ratio": 64', '"ratio": 64, "ratio": 32'))).toEqual([
      'averaging.ratio: this key stands here a second time; take one out',
    ]);
  });
});

describe('errors: figures that do not fit one another', () => {
  const cases: readonly [what: string, text: string, ...messages: string[]][] = [
    [
      'a range that is upside down',
      beehiveWith('"value": "40 degC"', '"value": "20 degC"'),
      'requirement.range.high: 20 degC is not above the low end, 20 degC',
    ],
    [
      'a range that the sensor cannot be asked for',
      beehiveWith('"value": "40 degC"', '"value": "400 degC"'),
      'requirement.range.high: 400 degC is outside of what the sensor can be asked; allowed -80 degC … 200 degC',
    ],
    [
      'half a thermistor',
      beehiveWith(/"beta": .*\n/, ''),
      'sensor: no sensor: got r25; allowed r25 and beta, or a, b and c, or points',
    ],
    [
      'two thermistors in one',
      beehiveWith('"kind": "thermistor",', '"kind": "thermistor", "a": 0.001,'),
      'sensor: no sensor: got r25, beta, a; allowed r25 and beta, or a, b and c, or points',
    ],
    [
      'a thermistor without a divider',
      beehiveWith(/"divider": \{[\s\S]*?"side": "low"\n {4}\},\n/, ''),
      'conditioning: missing is "divider": a thermistor is a resistance',
    ],
    [
      'absolute wiring without an excitation voltage',
      beehiveWith('"ratiometric"', '"absolute"'),
      'conditioning: missing is "excitation" with a "voltage": the wiring is absolute',
    ],
    [
      'ratiometric wiring with an excitation voltage',
      beehiveWith('"switched": true', '"voltage": "2.5 V", "switched": true'),
      'conditioning.excitation.voltage: the wiring is ratiometric: the excitation is the reference; take this out',
    ],
    [
      'a profile that is not known',
      beehiveWith('"low-power"', '"low-powr"'),
      'converter.profile: no profile has the name "low-powr"; the nearest is "low-power"',
    ],
    [
      'an override that the profile cannot bear',
      beehiveWith('"noise": {', '"averaging": { "registerBits": 8 }, "noise": {'),
      'converter.averaging.registerBits: 8 bits do not hold one conversion of 12',
    ],
    [
      'a supply as reference without its voltage',
      beehiveWith(/,\s*"voltage": \{ "value": "3.0 V", "from": "datasheet", "note": "fresh.*\}/, ''),
      'converter.reference: missing is "voltage": the profile does not know that of the supply',
    ],
    [
      'a reference that the profile does not allow',
      beehiveWith(
        '"3.0 V", "from": "datasheet", "note": "fresh',
        '"5 V", "from": "datasheet", "note": "fresh',
      ),
      'converter.reference.voltage: 5 V is out of range; the profile allows 1.8 V … 3.6 V',
    ],
    [
      'a sample time that is not on the ladder',
      beehiveWith('"value": 8, "from"', '"value": 9, "from"'),
      'sampling.sampleCycles: 9 is no sample time of the profile; the profile allows 2, 5, 8, 14, 25, 46, 88, 170',
    ],
    [
      'a resolution that the profile lacks',
      beehiveWith('"bits": 12', '"bits": 11'),
      'sampling.bits: 11 is no resolution of the profile; the profile allows 12, 10, 8',
    ],
    [
      'a clock divider that the profile lacks',
      beehiveWith('"value": 6, "from"', '"value": 7, "from"'),
      'sampling.clockDivider: 7 is no clock divider of the profile; the profile allows 1, 2, 3, 4, 6, 8, 12, 16, 24, 48, 96, 192',
    ],
    [
      'a converter clock too fast',
      beehiveWith('"value": 6, "from"', '"value": 3, "from"'),
      'sampling.clockDivider: 3 makes 4 MHz of 12 MHz; the profile allows up to 3 MHz',
    ],
    [
      'a timer without its interval',
      beehiveWith('"trigger": "burst"', '"trigger": "conversion"'),
      'sampling: missing is "interval": a timer starts each conversion',
    ],
    [
      'an interval shorter than a conversion',
      beehiveWith('"trigger": "burst"', '"trigger": "conversion", "interval": "5 us"'),
      'sampling.interval: 5 us is shorter than one conversion, 11 us',
    ],
    [
      'an interval without a timer',
      beehiveWith('"trigger": "burst"', '"trigger": "burst", "interval": "5 ms"'),
      'sampling.interval: conversions of a burst follow back to back; take this out or write "trigger": "conversion"',
    ],
    [
      'a watchdog without a limit',
      beehiveWith(/"above": \{.*\n/, ''),
      'watchdog: missing is a limit: "above", "below" or both',
    ],
    [
      'a window that is upside down',
      beehiveWith('"intent": "must-trip"', '"below": "37.5 °C", "intent": "must-trip"'),
      'watchdog.below: 37.5 °C is not below the upper limit, 37 degC',
    ],
  ];
  it.each(cases)('%s', (_, text, ...messages) => expect(messagesOf(text)).toEqual(messages));

  it('a battery divider that is called ratiometric, or has a second divider', () => {
    const text = worksheetTexts.cellar!.replace('"absolute"', '"ratiometric"');
    expect(messagesOf(text)).toEqual([
      'conditioning.wiring: a voltage is measured against the reference; write "absolute"',
    ]);
    const second = worksheetTexts.cellar!.replace(
      '"wiring": "absolute"',
      '"wiring": "absolute", "divider": { "resistor": "1 kohm", "side": "low" }, "leadResistance": "1 ohm"',
    );
    expect(messagesOf(second)).toEqual([
      'conditioning.divider: a voltage divider gives a voltage; take the divider out',
      'conditioning.leadResistance: only a resistive sensor has a lead resistance',
    ]);
  });
});

describe('errors: all at once', () => {
  it('in the order of the text, each with line and column', () => {
    const text = worksheetTexts
      .beehive!.replace('"halfbit": 1', '"halfbit": 1, "colour": "red"')
      .replace('"5 mK"', '5')
      .replace('"ratio": 64', '"ratio": 48');
    expect(() => readWorksheet({ text, profiles })).toThrow(
      [
        'line 2, column 17: colour: no key has this name; the nearest is "about"',
        'line 16, column 13: requirement.step: 5 has no unit; write text with a unit, as "5 mK"',
        'line 58, column 27: averaging.ratio: 48 is not a power of two; the profile allows 2 … 256',
      ].join('\n'),
    );
  });

  it('with the name of each quantity, for a sentence', () => {
    try {
      readWorksheet({ text: beehiveWith('"step": "5 mK"', '"step": "5"'), profiles });
      expect.unreachable();
    } catch (error) {
      expect((error as WorksheetError).problems).toEqual([
        {
          path: 'requirement.step',
          label: 'widest step',
          line: 16,
          column: 13,
          got: '"5"',
          allowed: 'text with a unit, as "5 mK"',
          reason: '"5" has no unit; write 5 K or 5 mK',
          message: 'requirement.step: "5" has no unit; write 5 K or 5 mK',
        },
      ]);
    }
  });
});

describe('versions', () => {
  it('a newer format is refused in one line, whatever else is in it', () => {
    const text = worksheetTexts.beehive!.replace('"halfbit": 1', '"halfbit": 2, "novelty": {}');
    expect(messagesOf(text)).toEqual([
      'halfbit: this worksheet has format 2, this program reads format 1; use a newer program',
    ]);
  });

  it('none, or one that never was', () => {
    const saying = (by: string) => messagesOf(worksheetTexts.beehive!.replace('"halfbit": 1,', by));
    expect(saying('')).toEqual(['halfbit: missing; needed is 1']);
    expect(saying('"halfbit": 0,')).toEqual(['halfbit: 0 will not do; allowed 1']);
    expect(saying('"halfbit": "1",')).toEqual(['halfbit: "1" will not do; allowed 1']);
  });
});

describe('hostile text', () => {
  it('keys of prototypes are unknown keys, and pollute nothing', () => {
    const text = worksheetTexts
      .beehive!.replace('"ratio": 64', '"ratio": 64, "__proto__": { "polluted": 1 }')
      .replace('"halfbit": 1', '"constructor": { "prototype": { "polluted": 1 } }, "halfbit": 1');
    expect(messagesOf(text)).toEqual([
      'constructor: no key has this name; the nearest is "converter"',
      'averaging.__proto__: no key has this name; the nearest is "ratio"',
    ]);
    expect(({} as Record<string, unknown>).polluted).toBeUndefined();
  });

  it('names of prototypes are no profiles and no kinds', () => {
    for (const name of ['__proto__', 'constructor', 'toString', 'hasOwnProperty']) {
      expect(messagesOf(beehiveWith('"low-power"', `"${name}"`))[0]).toMatch(
        `converter.profile: no profile has the name "${name}"`,
      );
      expect(messagesOf(beehiveWith('"kind": "thermistor"', `"kind": "${name}"`))[0]).toMatch(
        `sensor.kind: "${name}" will not do`,
      );
    }
  });

  it('size and depth are bounded', () => {
    const deep = 'the document is nested too deep; allowed up to 12 objects and lists within one another';
    expect(messagesOf(' '.repeat(300_000))).toEqual([
      'the document has 300000 characters; allowed up to 262144',
    ]);
    expect(messagesOf('['.repeat(200_000))).toEqual([deep]);
    expect(messagesOf(`${'{"a":'.repeat(13)}1${'}'.repeat(13)}`)).toEqual([deep]);
    // Brackets within a text are no nesting.
    expect(messagesOf(beehiveWith('"note": "in still air"', `"note": "\\"${'[{'.repeat(20)}"`))).toEqual([]);
  });

  it('of a great many problems a hundred are told', () => {
    const keys = Array.from({ length: 20_000 }, (_, i) => `"k${i}":0`).join(',');
    expect(messagesOf(`{${keys}}`)).toHaveLength(100);
  });

  it('a great length of blanks costs no time', () => {
    // A pattern that looks for the end from every blank would take minutes.
    const text = beehiveWith(
      '"dissipation": { "value": "1.5 mW/K", "from": "datasheet", "note": "in still air" }',
      `"dissipation": "${' '.repeat(250_000)}x"`,
    );
    expect(messagesOf(text)[0]).toMatch(/has 250001 characters; at most 100 are read$/);
  });

  it('what is not strict JSON is refused', () => {
    const cases: readonly (readonly [string, string])[] = [
      ['', 'not JSON: a value should stand here'],
      ['[1]', 'the document must be an object in { }'],
      ['"x"', 'the document must be an object in { }'],
      ['{ "halfbit": 1', 'not JSON: the object is not closed; a } should stand here'],
      ['{ "a": [1, 2', 'not JSON: the list is not closed; a ] should stand here'],
      ["{ 'halfbit': 1 }", 'not JSON: this is no JSON value; text stands in double quotes'],
      ['{ "halfbit": NaN }', 'not JSON: this is no JSON value; text stands in double quotes'],
      ['{ "halfbit": 01 }', 'not JSON: a comma should stand here'],
      ['{ "halfbit" 1 }', 'not JSON: a colon should stand here'],
      ['{ "halfbit": 1, }', 'not JSON: a key in double quotes should stand here'],
      ['{ /* x */ "halfbit": 1 }', 'not JSON: comments are not allowed; put it in a "note"'],
      ['{ "a": "\\q" }', 'not JSON: this character needs no \\ before it'],
      ['{ "a": "\\u12" }', 'not JSON: \\u needs four hexadecimal digits'],
      ['{ "a": "x\n" }', 'not JSON: the text is not closed; a " should stand on this line'],
      ['{ "a": "\t" }', 'not JSON: control characters must be escaped'],
      ['{ "a": 1. }', 'not JSON: the number is not finished'],
      ['{} x', 'not JSON: this is no JSON value; text stands in double quotes'],
      ['{} {}', 'not JSON: the document ended before this'],
    ];
    for (const [text, message] of cases) expect(messagesOf(text), text).toEqual([message]);
  });

  // Words that turn direction read otherwise on a page than they stand in the file; control characters steer a terminal.
  it.each([
    ['title', '"title": "', '\\u202e', 'U+202E'],
    ['requirement.range.low.note', '"coldest brood nest worth telling', '\\u2066', 'U+2066'],
    ['power.phases.0.name', '"name": "', '\\u001b', 'U+001B'],
    ['about', '"about": "', '\\n', 'U+000A'],
    ['requirement.measurand', '"brood-nest', '\\ud800', 'U+D800'],
  ])('%s that would not be read as it stands is refused', (path, after, character, code) => {
    expect(messagesOf(beehiveWith(after, `${after}${character}`))).toEqual([
      `${path}: the character ${code} will not do; allowed is a single line of text`,
    ]);
  });
});

describe('units made of others', () => {
  it('are told apart from those that are read without the unit library', () => {
    expect(wantsCompound({ text: worksheetTexts.beehive! })).toBe(false);
    expect(wantsCompound({ text: profileTexts['low-power']! })).toBe(false);
    expect(wantsCompound({ text: beehiveWith('"220 mAh"', '"220 mA*h"') })).toBe(true);
  });
});

describe('profiles', () => {
  const problemsOfProfile = (piece: string, by: string): string[] => {
    const text = profileTexts['low-power']!.replace(piece, by);
    expect(text).not.toBe(profileTexts['low-power']);
    try {
      readProfile({ text });
    } catch (error) {
      return (error as WorksheetError).problems.map((p) => p.message);
    }
    return [];
  };

  it('are checked like worksheets', () => {
    expect(problemsOfProfile('"5 pF"', '"5 pA"')).toEqual([
      'sampleCapacitance: "5 pA" is a current; write a capacitance, 1 nF or 1 pF',
    ]);
    expect(problemsOfProfile('"firstTransition": 0.5', '"firstTransition": 0.7')).toEqual([
      'firstTransition: 0.7 will not do; allowed 0.5 or 1',
    ]);
    expect(problemsOfProfile('"conversionCycles": 11', '"conversionCycles": 11.3')).toEqual([
      'resolutions.1.conversionCycles: 11.3 will not do; allowed 0.5 … 100000 in steps of 0.5',
    ]);
  });

  it('have rules between their figures', () => {
    expect(problemsOfProfile('[2, 5, 8,', '[2, 8, 5,')).toEqual(['sampleCycles: the values must rise']);
    expect(problemsOfProfile('"bits": 12, "conversionCycles"', '"bits": 9, "conversionCycles"')).toEqual([
      'resolutions: the finest resolution must come first',
    ]);
    expect(problemsOfProfile('"largestShift": 8', '"largestShift": 8, "ratioUpTo": 64')).toEqual([
      'averaging: give either "ratios" or "ratioUpTo"',
    ]);
    expect(problemsOfProfile('"value": "3.6 V"', '"value": "1.5 V"')).toEqual([
      'referenceRange.highest: it must be above the lowest',
    ]);
  });
});
