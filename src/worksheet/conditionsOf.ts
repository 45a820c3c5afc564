/**
 * Conditions: what the temperature of the board does to figures that a data sheet gives for 25 °C.
 */
import type { Worksheet } from './read.ts';

/** Temperature that data sheets speak of, °C. */
const room = 25;

/** Kelvin over which leakage doubles: common practice, no source. */
const doubling = 10;

/** The coldest and the warmest that the board gets, °C; 25 °C where the worksheet gives none. */
export function boardTemperatures({ inputs: { conditions } }: Worksheet): {
  readonly coldest: number;
  readonly warmest: number;
} {
  const coldest = conditions?.coldest?.value ?? Math.min(room, conditions?.warmest?.value ?? room);
  const warmest = conditions?.warmest?.value ?? Math.max(room, conditions?.coldest?.value ?? room);
  return { coldest, warmest };
}

/** How far the board gets from 25 °C, K; 0 where the worksheet gives no temperatures. */
export function temperatureSpan(worksheet: Worksheet): number {
  const { coldest, warmest } = boardTemperatures(worksheet);
  return Math.max(warmest - room, room - coldest, 0);
}

/** Largest leakage of the pin, A: that of 25 °C, doubled for every 10 K that the board gets warmer; the cold is not counted on. */
export function leakageCurrent(worksheet: Worksheet): number {
  const above = Math.max(0, boardTemperatures(worksheet).warmest - room);
  return worksheet.profile.leakage.value * 2 ** (above / doubling);
}
