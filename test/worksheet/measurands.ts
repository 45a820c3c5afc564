/** A plausible channel for each sensor that the demos have none of, as changes to the beehive's document. */

// biome-ignore lint/suspicious/noExplicitAny: a document to take apart at will
type Document = any;

const known = (value: string, spread: string) => ({ value, from: 'datasheet', spread });

/** The beehive with another sensor, conditioning and wants; against an external 3 V unless the supply is the reference. */
const sheet =
  (given: {
    readonly sensor: object;
    readonly conditioning: { readonly wiring: string };
    readonly requirement: object;
    readonly watchdog: object;
  }) =>
  (d: Document): void => {
    const part = structuredClone(given);
    d.title = 'a channel';
    for (const key of ['about', 'calibration', 'conditions', 'record']) delete d[key];
    d.requirement = { ...part.requirement, period: '1 min', batteryLife: '1 year' };
    d.sensor = part.sensor;
    d.conditioning = part.conditioning;
    d.converter.reference =
      part.conditioning.wiring === 'ratiometric'
        ? { source: 'supply', voltage: '3.0 V' }
        : { source: 'external', voltage: known('3.0 V', '0.1 %') };
    d.watchdog = { ...part.watchdog, intent: 'must-trip', consecutive: 2 };
  };

/** Each with the unit of its measurand. */
export const channels = {
  'current loop': {
    unit: 'bar',
    change: sheet({
      sensor: {
        kind: 'currentLoop',
        unit: 'bar',
        low: '0 bar',
        high: '10 bar',
        resistance: known('100 ohm', '0.1 %'),
        tolerance: known('0.05 bar', '0 bar'),
      },
      conditioning: { wiring: 'absolute', seriesResistor: '1 kohm' } as { wiring: string },
      requirement: {
        measurand: 'boiler pressure',
        range: { low: '0 bar', high: '10 bar' },
        resolution: '0.01 bar',
        step: '0.01 bar',
        uncertainty: '0.1 bar',
      },
      watchdog: { above: '6 bar', hysteresis: '0.1 bar' },
    }),
  },
  bridge: {
    unit: 'kg',
    change: sheet({
      sensor: {
        kind: 'bridge',
        unit: 'kg',
        sensitivity: known('2 mV/V', '0.1 %'),
        fullScale: '50 kg',
        zero: known('0 mV/V', '0.02 mV/V'),
        resistance: '350 ohm',
        tolerance: '0.02 kg',
      },
      conditioning: {
        wiring: 'ratiometric',
        excitation: { switched: true, settle: '100 us' },
        amplifier: {
          gain: 400,
          zero: known('-0.5 mV', '0.01 mV'),
          gainError: '0.2 %',
          outputResistance: '100 ohm',
        },
      } as { wiring: string },
      requirement: { range: { low: '0 kg', high: '50 kg' }, resolution: '0.01 kg', uncertainty: '0.5 kg' },
      watchdog: { above: '40 kg', below: '1 kg' },
    }),
  },
  thermocouple: {
    unit: '°C',
    change: sheet({
      sensor: {
        kind: 'thermocouple',
        type: 'K',
        coldJunction: known('25 degC', '1 K'),
        tolerance: '1.5 K',
        relativeTolerance: '0.4 %',
        outputResistance: '10 ohm',
      },
      conditioning: {
        wiring: 'absolute',
        amplifier: {
          gain: 50,
          zero: known('-2 mV', '0.02 mV'),
          gainError: '0.2 %',
          outputResistance: '100 ohm',
        },
      } as { wiring: string },
      requirement: { range: { low: '0 degC', high: '1000 degC' }, resolution: '0.5 K', uncertainty: '10 K' },
      watchdog: { above: '900 degC' },
    }),
  },
  shunt: {
    unit: 'A',
    change: sheet({
      sensor: { kind: 'shunt', resistance: known('0.1 ohm', '1 %'), largest: '1 A' },
      conditioning: {
        wiring: 'absolute',
        amplifier: {
          gain: 25,
          zero: known('0 V', '0.1 mV'),
          gainError: '0.5 %',
          outputResistance: '100 ohm',
        },
      } as { wiring: string },
      requirement: { range: { low: '0 A', high: '1 A' }, resolution: '1 mA', uncertainty: '20 mA' },
      watchdog: { above: '800 mA' },
    }),
  },
  potentiometer: {
    unit: '°',
    change: sheet({
      sensor: {
        kind: 'potentiometer',
        unit: '°',
        low: '0 °',
        high: '270 °',
        resistance: '10 kohm',
        linearity: '1 %',
      },
      conditioning: { wiring: 'ratiometric', excitation: { switched: true, settle: '20 us' } } as {
        wiring: string;
      },
      requirement: { range: { low: '10 °', high: '260 °' }, resolution: '0.1 °', uncertainty: '4 °' },
      watchdog: { above: '200 °' },
    }),
  },
  'table of ohms': {
    unit: 'lx',
    change: sheet({
      sensor: {
        kind: 'table',
        unit: 'lx',
        scale: 'logarithmic',
        points: [
          { at: '1 lx', gives: '100 kohm' },
          { at: '10 lx', gives: '20 kohm' },
          { at: '100 lx', gives: '4 kohm' },
          { at: '1000 lx', gives: '900 ohm' },
        ],
        tolerance: '5 lx',
      },
      conditioning: {
        wiring: 'ratiometric',
        divider: { resistor: known('10 kohm', '0.1 %'), side: 'low' },
        excitation: { switched: true, settle: '20 us' },
      } as { wiring: string },
      requirement: { range: { low: '5 lx', high: '500 lx' }, resolution: '1 lx', uncertainty: '20 lx' },
      watchdog: { above: '300 lx' },
    }),
  },
  'table of volts': {
    unit: '%RH',
    change: sheet({
      sensor: {
        kind: 'table',
        unit: '%RH',
        points: [
          { at: '0 %RH', gives: '0.5 V' },
          { at: '50 %RH', gives: '1 V' },
          { at: '100 %RH', gives: '2 V' },
        ],
        outputResistance: '1 kohm',
      },
      conditioning: { wiring: 'absolute' },
      requirement: {
        range: { low: '10 %RH', high: '90 %RH' },
        resolution: '0.1 %RH',
        uncertainty: '4 %RH',
      },
      watchdog: { above: '80 %RH' },
    }),
  },
} as const satisfies Record<string, { unit: string; change: (d: Document) => void }>;

export type ChannelName = keyof typeof channels;
export const channelNames = Object.keys(channels) as ChannelName[];
