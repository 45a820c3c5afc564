/**
 * The sampling network: a source behind a resistance, a capacitance at the pin, a switch and the sampling capacitor.
 *
 *     V_s ──R_s──┬──R_sw──┬      x = v_pin − V_s,  y = v_Cs − V_s
 *               C_p      C_s     C_p·x′ = −x/R_s + (y − x)/R_sw,  C_s·y′ = (x − y)/R_sw
 *
 * While the switch is closed the deviations x, y from the source follow two real modes; while it is open x decays with
 * R_s·C_p and y stays. In come the four parts and the times; out go the weights with which a deviation at the start of a
 * sample time is left at its end. All is written in time constants, of which any may be 0, and in sums of terms of one
 * sign, so that every weight, and 1 minus it, keeps its relative accuracy when the time constants lie a factor 1e9 or more
 * apart. No guards here.
 */

/** What C_s starts a conversion with: the previous channel's voltage, or what it sampled itself. */
export type StartsAt = 'previous' | 'own';

/** The two modes of the closed switch. */
export interface Modes {
  /** R_s·C_p, s. */
  readonly pin: number;
  /** Time constant of the slow mode, s. */
  readonly slow: number;
  /** Time constant of the fast mode, s; 0 where a part is 0. */
  readonly fast: number;
  /** Difference of the two rates, 1/s; infinite where `fast` is 0. */
  readonly spread: number;
  /** Part of y → y in the slow mode (of x → x in the fast one), 0 … 1. */
  readonly slowShare: number;
  /** Part of y → y in the fast mode (of x → x in the slow one), 0 … 1. */
  readonly fastShare: number;
  /** Weight of x → y, common to both modes. */
  readonly toSample: number;
  /** Weight of y → x, common to both modes. */
  readonly toPin: number;
}

/**
 * The modes of the closed switch.
 *
 * With T1 = R_s·C_p, T2 = R_sw·C_s, T3 = R_s·C_s the time constants are the roots of τ² − (T1 + T2 + T3)·τ + T1·T2;
 * their difference is D = √(u² + 4·T1·T3), u = T2 + T3 − T1, a sum of squares. The fast one is T1·T2/slow.
 */
export function modes(
  sourceResistance: number,
  pinCapacitance: number,
  switchResistance: number,
  sampleCapacitance: number,
): Modes {
  const t1 = sourceResistance * pinCapacitance;
  const t2 = switchResistance * sampleCapacitance;
  const t3 = sourceResistance * sampleCapacitance;
  const u = t2 + t3 - t1;
  const cross = 4 * t1 * t3;
  const d = Math.sqrt(u * u + cross);
  if (d === 0) {
    const at0 = { pin: 0, slow: 0, fast: 0, spread: Number.POSITIVE_INFINITY };
    return { ...at0, slowShare: 1, fastShare: 0, toSample: 0, toPin: 0 };
  }
  // d + u and d − u, the smaller of them as cross over the larger.
  const plus = u >= 0 ? d + u : cross / (d - u);
  const minus = u >= 0 ? cross / (d + u) : d - u;
  const slow = (t1 + t2 + t3 + d) / 2;
  return {
    pin: t1,
    slow,
    fast: (t1 * t2) / slow,
    spread: d / t1 / t2,
    slowShare: plus / (2 * d),
    fastShare: minus / (2 * d),
    toSample: t1 / d,
    toPin: t3 / d,
  };
}

/** The weight y → y of a closed switch: what `time` leaves of a deviation on C_s when the pin stood on the source. */
export function unsettledPart(m: Modes, time: number): number {
  return Math.exp(-time / m.slow) * (m.slowShare + m.fastShare * Math.exp(-time * m.spread));
}

/** The weight x → y of a closed switch: what `time` leaves on C_s of a deviation of the pin. */
export function pinWeight(m: Modes, time: number): number {
  return m.toSample * Math.exp(-time / m.slow) * -Math.expm1(-time * m.spread);
}

/** One conversion and the rest of its period: what is left of x and y, and what is lost. */
export interface Cycle {
  /** y at the start → y at the end of the sample time. */
  readonly sampleToSample: number;
  /** x at the start → y at the end of the sample time. */
  readonly pinToSample: number;
  /** x → x over the whole period. */
  readonly pinToPin: number;
  /** y at the start → x over the whole period. */
  readonly sampleToPin: number;
  /** 1 − sampleToSample. */
  readonly sampleLoss: number;
  /** 1 − pinToPin. */
  readonly pinLoss: number;
  /** Determinant of the map's difference from unity: positive while anything is lost. */
  readonly lossDeterminant: number;
  /** Natural logarithm of the map's determinant; −∞ where it is 0. */
  readonly logDeterminant: number;
}

/** The map of one period: `sampleTime` with the switch closed, `gap` with it open. */
export function cycle(m: Modes, sampleTime: number, gap: number): Cycle {
  const slow = Math.exp(-sampleTime / m.slow);
  const slowLoss = -Math.expm1(-sampleTime / m.slow);
  const fastLoss = -Math.expm1(-sampleTime / m.fast);
  const fast = Math.exp(-sampleTime / m.fast);
  const ratio = Math.exp(-sampleTime * m.spread); // fast over slow
  const ratioLoss = -Math.expm1(-sampleTime * m.spread);
  const decay = m.pin > 0 ? gap / m.pin : Number.POSITIVE_INFINITY;
  const recovery = Math.exp(-decay);
  const recoveryLoss = -Math.expm1(-decay);
  const pinLossClosed = slowLoss + slow * m.slowShare * ratioLoss;
  // x → x less the product of the modes.
  const excess = m.fastShare * slow * fastLoss + m.slowShare * fast * slowLoss;
  return {
    sampleToSample: slow * (m.slowShare + m.fastShare * ratio),
    pinToSample: m.toSample * slow * ratioLoss,
    pinToPin: recovery * slow * (m.fastShare + m.slowShare * ratio),
    sampleToPin: recovery * m.toPin * slow * ratioLoss,
    sampleLoss: slowLoss + slow * m.fastShare * ratioLoss,
    pinLoss: recoveryLoss + recovery * pinLossClosed,
    lossDeterminant: slowLoss * fastLoss + recoveryLoss * excess,
    logDeterminant: -decay - sampleTime / m.slow - sampleTime / m.fast,
  };
}
