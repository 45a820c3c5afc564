import { describe, expect, it } from 'vitest';
import { evaluate } from '../../src/worksheet/evaluate.ts';
import { readWorksheet } from '../../src/worksheet/read.ts';
import { expectNear } from '../close.ts';
import { profiles, worksheetTexts } from './demos.ts';

/** The beehive or cellar demo with another sensor and wiring, as plain JSON. */
function withSensor(name: 'beehive' | 'cellar', sensor: object, conditioning: object, range?: object) {
  const json = JSON.parse(worksheetTexts[name]!);
  const { watchdog: _, calibration: __, ...rest } = json;
  const requirement = { ...json.requirement, ...(range && { range }) };
  const text = JSON.stringify({ ...rest, requirement, sensor, conditioning });
  return evaluate({ worksheet: readWorksheet({ text, profiles }) });
}

const quantity = (value: string, spread: string) => ({ value, from: 'datasheet', spread });
const divider = { wiring: 'ratiometric', divider: { resistor: '10 kohm', side: 'low' } };

describe('every kind of sensor, by hand', () => {
  it('thermistor by β, with both tolerances', () => {
    const { sensor } = withSensor(
      'beehive',
      { kind: 'thermistor', r25: quantity('10 kohm', '1 %'), beta: quantity('3435 K', '1 %') },
      divider,
    );
    expectNear(sensor.toElectrical(40), 10_000 * Math.exp(3435 * (1 / 313.15 - 1 / 298.15)), 1e-12);
    // R25 1 % low and β 1 % high both read warm: ln R is off by ln 0.99 − 34.35·(1/298.15 − 1/313.15).
    const off = -Math.log(0.99) + 34.35 * (1 / 298.15 - 1 / 313.15);
    // First order: ΔT = T²/β·off; the second order is a hundredth of it.
    expectNear(sensor.tolerance!(40), (313.15 ** 2 / 3435) * off, 0.01);
  });

  it('thermistor by a, b, c and by three points of the same curve', () => {
    const [a, b, c] = [1.12924e-3, 2.34108e-4, 0.87755e-7];
    const byLetters = withSensor('beehive', { kind: 'thermistor', a, b, c }, divider).sensor;
    const points = [0, 25, 50].map((t) => ({
      temperature: `${t} degC`,
      resistance: `${byLetters.toElectrical(t)} ohm`,
    }));
    const byPoints = withSensor('beehive', { kind: 'thermistor', points }, divider).sensor;
    for (const t of [10, 36, 60]) expectNear(byPoints.toElectrical(t), byLetters.toElectrical(t), 1e-9);
  });

  it('platinum with its class', () => {
    const { sensor, channel } = withSensor(
      'beehive',
      { kind: 'platinum', r0: '1000 ohm', class: 'B' },
      { ...divider, leadResistance: '3 ohm' },
    );
    // [IEC60751]: class B is 0.3 K + 0.005·|t|.
    expectNear(sensor.tolerance!(40), 0.5, 1e-12);
    const ohms = 1000 * (1 + 3.9083e-3 * 40 - 5.775e-7 * 1600) + 3;
    expectNear(channel.fraction(40), ohms / (ohms + 10_000), 1e-12);
  });

  it('linear, absolute against the supply', () => {
    const { channel, units } = withSensor(
      'beehive',
      { kind: 'linear', voltsPerDegree: '10 mV/K', voltsAtZero: '0.5 V', outputResistance: '1 kohm' },
      { wiring: 'absolute', seriesResistor: '220 ohm' },
    );
    expect(units).toEqual({ measurand: 'degC', difference: 'K' });
    expectNear(channel.fraction(25), 0.75 / 3, 1e-12);
    expect(channel.sourceResistance(25)).toBe(1220);
    expect(channel.largestExcitationCurrent).toBe(0);
  });

  it('on the chip, by its factory codes and their temperatures’ spread', () => {
    const { channel, sensor } = withSensor(
      'beehive',
      {
        kind: 'die',
        low: { temperature: quantity('30 degC', '1 K'), code: 1035 },
        high: { temperature: quantity('110 degC', '5 K'), code: 1380 },
        bits: 12,
        reference: '3.3 V',
        outputResistance: '100 kohm',
      },
      { wiring: 'absolute' },
    );
    // 345 codes of 3.3 V/4096 for 80 K, read against 3.0 V.
    expectNear(channel.codeOf(30), (1035 * 3.3) / 3, 1e-12);
    expectNear(channel.perCode(30), ((80 / 345) * 3) / 3.3, 1e-12);
    // Half a code at the point and the wider of the two temperatures.
    expectNear(sensor.tolerance!(30), 5 + (0.5 * 80) / 345, 1e-9);
  });

  it('a divider with its resistors’ spread', () => {
    const { sensor, channel } = withSensor(
      'cellar',
      { kind: 'divider', top: quantity('2.2 Mohm', '1 %'), bottom: quantity('1 Mohm', '0.5 %') },
      { wiring: 'absolute' },
    );
    expectNear(channel.fraction(6.4), 6.4 / 3.2 / 2.2, 1e-12);
    // The wider spread for both: 1.01/(2.2·0.99 + 1.01) against 1/3.2, the worse corner.
    expectNear(sensor.tolerance!(6.4), 6.4 * ((1.01 / (2.2 * 0.99 + 1.01)) * 3.2 - 1), 1e-9);
  });

  it('a thermistor behind an amplifier, from an excitation of its own', () => {
    const { channel } = withSensor(
      'beehive',
      { kind: 'thermistor', r25: '10 kohm', beta: '3435 K' },
      {
        wiring: 'absolute',
        divider: { resistor: '10 kohm', side: 'high' },
        excitation: { voltage: '2.5 V', switched: true },
        amplifier: { gain: 2, zero: '0.9 V', outputResistance: '50 ohm' },
      },
    );
    // Half of 2.5 V at 25 °C.
    expectNear(channel.fraction(25), (2 * (1.25 - 0.9)) / 3, 1e-12);
    expect(channel.sourceResistance(25)).toBe(50);
    expect(channel.falling).toBe(false);
    expectNear(channel.largestExcitationCurrent, channel.excitationCurrent(40), 1e-12);
  });
});
