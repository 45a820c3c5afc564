import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { formsOf } from '../../src/worksheet/formsOf.ts';
import { lineReader, wantedForm } from '../../src/worksheet/formText.ts';
import { withValues } from '../../src/worksheet/write.ts';
import { expectNear } from '../close.ts';
import { demo } from './demos.ts';

const evaluated = (name: string, changes: Record<string, string> = {}) =>
  evaluate({ worksheet: withValues(demo(name), changes) });

describe('the forms of a channel', () => {
  it.each([
    ['beehive', 3, 64, 3, 0, 0.5],
    ['cellar', 2.2, 16, 4, 8, 1],
    ['workbench', 3, 256, 2, 2, 0.5],
  ])(
    '%s: every code goes to volts by the definition, and back',
    (name, reference, ratio, shift, added, first) => {
      const { code, pin, largestCode } = formsOf(evaluated(name));
      expect(largestCode).toBe(Math.floor((4095 * ratio + added) / 2 ** shift));
      let [farthest, strayed] = [0, 0];
      for (let c = 0; c <= largestCode; c++) {
        const volts = pin.valueOf(code.meanOf(c));
        // The sums that give this code are C·2^s − r … C·2^s − r + 2^s − 1; their mean over R is the mean code.
        let sum = 0;
        for (let i = 0; i < 2 ** shift; i++) sum += c * 2 ** shift - added + i;
        const defined = ((sum / 2 ** shift / ratio + first - 0.5) * reference) / 4096;
        farthest = Math.max(farthest, Math.abs(volts - defined));
        if (code.valueOf(pin.meanOf(volts)) !== c) strayed++;
      }
      expect(farthest).toBeLessThan(1e-14);
      expect(strayed).toBe(0);
    },
  );

  it.each(['beehive', 'cellar', 'workbench'])('%s: the measurand of a code has that code again', (name) => {
    const { code, measurand, resistance, current } = formsOf(evaluated(name));
    let through = 0;
    for (let c = 1000; c < 30_000; c += 7) {
      for (const form of [measurand, resistance, current]) {
        try {
          const value = form?.valueOf(code.meanOf(c));
          if (value === undefined) continue;
          expect(code.valueOf(form!.meanOf(value)), `${form!.is} ${value}`).toBe(c);
          through++;
        } catch (error) {
          expect((error as Error).message).toMatch(/^nothing from .* gives .* at the pin$|^code: got/);
        }
      }
    }
    expect(through).toBeGreaterThan(400);
  });

  it('native codes at typed transitions count as the code above, whatever their decimals make of them', () => {
    const { code, pin } = formsOf(evaluated('cellar'), true);
    for (let k = 1; k < 4096; k++) {
      // Code k of this converter starts at k·2.2/2^12 V, which has 13 decimals at most.
      const typed = Number(((k * 2.2) / 4096).toFixed(13));
      expect(code.valueOf(pin.meanOf(typed))).toBe(k);
      expect(code.valueOf(pin.meanOf(typed - 1e-9))).toBe(k - 1);
    }
  });

  it('ohms and amperes are those of the divider: 10 kΩ at 25 °C over 10 kΩ from 3 V', () => {
    const { resistance, current, measurand } = formsOf(evaluated('beehive'));
    expectNear(resistance!.valueOf(measurand.meanOf(25)), 1e4, 1e-12);
    expectNear(current!.valueOf(measurand.meanOf(25)), 1.5e-4, 1e-12);
    expectNear(measurand.valueOf(current!.meanOf(1.5e-4)), 25, 1e-9);
    expect(() => current!.meanOf(1)).toThrow(/^current: got "1 A"; allowed .* through this divider$/);
    expect(formsOf(evaluated('cellar')).resistance).toBeUndefined();
  });
});

describe('a line of text', () => {
  const told = (text: string, name = 'beehive', atPin = false) => {
    const { form, value } = lineReader(formsOf(evaluated(name)), atPin)(text);
    return [form.is, value];
  };

  it('is what its unit says', () => {
    expect(told('2048')).toEqual(['code', 2048]);
    expect(told('0x800')).toEqual(['code', 2048]);
    expect(told('1.65 V')).toEqual(['pin', 1.65]);
    expect(told('1650mV')).toEqual(['pin', 1.65]);
    expect(told('25 degC')).toEqual(['measurand', 25]);
    expect(told(' −5 °C ')).toEqual(['measurand', -5]);
    expect(told('298.15 K')).toEqual(['measurand', 25]);
    expect(told('10 kΩ')).toEqual(['resistance', 10_000]);
    expect(told('4k7')).toEqual(['resistance', 4700]);
    expect(told('150 µA')).toEqual(['current', 1.5e-4]);
  });

  it('in volts is the measurand where that is a voltage, or the pin where asked', () => {
    expect(told('4 V', 'cellar')).toEqual(['measurand', 4]);
    expect(told('4 V', 'cellar', true)).toEqual(['pin', 4]);
  });

  it('that is none says what would do', () => {
    expect(() => told('3 s')).toThrow(/is a time; write a temperature/);
    expect(() => told('foo')).toThrow(/has no number at its start/);
    expect(() => told('2,5 V')).toThrow(/has a comma/);
  });

  it('is written with a tenth of the narrowest step', () => {
    const forms = formsOf(evaluated('beehive'));
    // One result code is 3 V/32768 = 92 µV: five decimals of a volt, two of a millivolt.
    expect(wantedForm(forms, 'V', false).decimals).toBe(6);
    expect(wantedForm(forms, 'mV', false).decimals).toBe(3);
    expect(wantedForm(forms, 'K', false).figure(forms.measurand.meanOf(25))).toBeCloseTo(298.15, 9);
    expect(() => wantedForm(forms, 's', false)).toThrow('--to: got "s"; allowed code, degC, V, ohm, A');
  });
});
