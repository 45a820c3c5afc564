/**
 * The source of a board as it may really be: sensor, divider and amplifier with everything about them off by its deviation.
 *
 * In come the inputs of a worksheet; out goes, for a measurand and deviations, the voltage at the pin over the reference. Without
 * deviations that is what `channel` gives.
 */
import type { Evaluation } from './evaluation.ts';
import { type Deviations, freedomOf, type Influences } from './influence.ts';
import { thermocoupleFrom } from './sensors.ts';

/** What the source is made from. */
export type SourceBasis = Pick<Evaluation, 'worksheet' | 'sensor' | 'channel' | 'quantizing'>;

type Electrical = (measurand: number) => (d: Deviations) => number;

/** The electrical side of the sensor, Ω, V or a ratio to its excitation. */
function sensorOf({ worksheet, sensor }: SourceBasis, influences: Influences): Electrical {
  const input = worksheet.inputs.sensor;
  switch (input.kind) {
    case 'thermistor': {
      const { r25, beta, points } = input;
      if (points) {
        const widest = points.map((p) => p.resistance).reduce((a, b) => (share(b) > share(a) ? b : a));
        const table = influences.spread('sensor.points.0.resistance', widest, 'share', 'resistance table');
        return (m) => {
          const ohms = sensor.toElectrical(m);
          return (d) => ohms * (1 + table(d));
        };
      }
      const resistance = influences.spread('sensor.r25', r25, 'share');
      const slope = influences.spread('sensor.beta', beta, 'share');
      return (m) => {
        const ohms = sensor.toElectrical(m);
        // β·(1/T − 1/298.15 K), to which β is a factor.
        const exponent = r25 === undefined ? 0 : Math.log(ohms / r25.value);
        return (d) => ohms * (1 + resistance(d)) * Math.exp(slope(d) * exponent);
      };
    }
    case 'platinum': {
      // Where a class is stated it covers the resistance at 0 °C.
      const resistance = input.class ? () => 0 : influences.spread('sensor.r0', input.r0, 'share');
      return (m) => {
        const ohms = sensor.toElectrical(m);
        return (d) => ohms * (1 + resistance(d));
      };
    }
    case 'linear': {
      const slope = influences.spread('sensor.voltsPerDegree', input.voltsPerDegree, 'unit');
      const zero = influences.spread('sensor.voltsAtZero', input.voltsAtZero, 'unit');
      return (m) => {
        const volts = sensor.toElectrical(m);
        return (d) => volts + slope(d) * m + zero(d);
      };
    }
    case 'thermocouple': {
      const { spread } = input.coldJunction;
      if (spread === undefined) influences.spread('sensor.coldJunction', input.coldJunction, 'unit');
      // It is off afresh from one reading to the next, and between the bench and the place of use.
      const off = influences.limits('cold junction', 'sensor.coldJunction', {
        size: spread ?? 0,
        unit: 'K',
        degreesOfFreedom: freedomOf(input.coldJunction),
        stays: 'afresh',
      });
      const thermocouple = thermocoupleFrom(input);
      return (m) => {
        const volts = sensor.toElectrical(m);
        const perKelvin = -thermocouple.coldJunctionSensitivity(m) * sensor.slope(m);
        return (d) => volts + perKelvin * (spread ?? 0) * off(d);
      };
    }
    case 'shunt':
    case 'currentLoop': {
      const resistance = influences.spread(
        'sensor.resistance',
        input.resistance,
        'share',
        input.kind === 'shunt' ? 'shunt resistance' : 'loop resistor',
      );
      return (m) => {
        const volts = sensor.toElectrical(m);
        return (d) => volts * (1 + resistance(d));
      };
    }
    case 'bridge': {
      const sensitivity = influences.spread('sensor.sensitivity', input.sensitivity, 'share');
      const zero = influences.spread('sensor.zero', input.zero, 'unit');
      if (input.zero === undefined) influences.leaveOut('sensor.zero', 'bridge zero');
      const atZero = input.zero?.value ?? 0;
      return (m) => {
        const ratio = sensor.toElectrical(m);
        return (d) => ratio + (ratio - atZero) * sensitivity(d) + zero(d);
      };
    }
    case 'die':
    case 'potentiometer':
    case 'table':
      return (m) => {
        const electrical = sensor.toElectrical(m);
        return () => electrical;
      };
    case 'divider': {
      const upper = influences.spread('sensor.top', input.top, 'share');
      const lower = influences.spread('sensor.bottom', input.bottom, 'share');
      const [r1, r2] = [input.top.value, input.bottom.value];
      return (m) => (d) => {
        const below = r2 * (1 + lower(d));
        return (m * below) / (r1 * (1 + upper(d)) + below);
      };
    }
  }
}

const share = ({ value, spread = 0 }: { value: number; spread?: number }): number => spread / Math.abs(value);

/** The voltage at the pin over the reference, for a measurand and deviations; `reference` is the relative deviation of that. */
export function sourceOf(
  basis: SourceBasis,
  influences: Influences,
  reference: (d: Deviations) => number,
): (measurand: number) => (d: Deviations) => number {
  const { conditioning } = basis.worksheet.inputs;
  const { divider, leadResistance, excitation, amplifier, wiring } = conditioning;
  const electrical = sensorOf(basis, influences);
  const nominal = basis.quantizing.reference;
  // An excitation that is the reference cancels; neither its value nor its deviation matters.
  const cancels = wiring === 'ratiometric';
  const resistor = influences.spread('conditioning.divider.resistor', divider?.resistor, 'share');
  const lead = influences.spread('conditioning.leadResistance', leadResistance, 'unit');
  const feed = cancels ? undefined : excitation?.voltage;
  const ratio = basis.sensor.electrical === 'ratio';
  const feedOff = influences.spread(
    'conditioning.excitation.voltage',
    divider || ratio ? feed : undefined,
    'share',
  );
  const zero = influences.spread('conditioning.amplifier.zero', amplifier?.zero, 'unit');
  // A buffer has hardly any.
  if (amplifier && amplifier.gain !== 1 && amplifier.gainError === undefined)
    influences.leaveOut('conditioning.amplifier.gainError', 'amplifier gain');
  const gain = influences.limits('amplifier gain error', 'conditioning.amplifier.gainError', {
    size: amplifier?.gainError?.value ?? 0,
    unit: '1',
    degreesOfFreedom: 'any',
    stays: 'fixed',
  });
  const gainOff = amplifier?.gainError?.value ?? 0;
  const fixed = divider?.resistor.value ?? 0;
  const wires = leadResistance?.value ?? 0;
  const scale = feed?.value ?? nominal;
  const volts = (e: number, d: Deviations): number => {
    if (divider === undefined) return ratio ? e * scale * (1 + feedOff(d)) : e;
    const s = e + wires + lead(d);
    const f = fixed * (1 + resistor(d));
    return ((divider.side === 'low' ? s : f) / (s + f)) * scale * (1 + feedOff(d));
  };
  return (m) => {
    const at = electrical(m);
    return (d) => {
      const v = volts(at(d), d);
      const amplified = amplifier
        ? amplifier.gain * (1 + gainOff * gain(d)) * (v - amplifier.zero.value - zero(d))
        : v;
      return amplified / (nominal * (1 + (cancels ? 0 : reference(d))));
    };
  };
}
