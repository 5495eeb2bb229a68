import { livesOf } from '@lintel/engine';
import type { LifeRow } from '@lintel/engine';

/** Relative difference. */
export function off(actual: number, expected: number): number {
  return Math.abs(actual - expected) / Math.abs(expected);
}

const failed = (age: number): LifeRow => ({ age, event: 1 });
const running = (age: number): LifeRow => ({ age, event: 0 });

/** NIST/SEMATECH e-Handbook of Statistical Methods, section 8.4.1.3: 20 units, hours, test ended at 500 h. */
export const nistUnits = livesOf([
  ...[54, 187, 216, 240, 244, 335, 361, 373, 375, 386].map(failed),
  ...Array.from({ length: 10 }, () => running(500)),
]);

/**
 * 23 deep-groove ball bearings, million revolutions to fatigue: Lieblein & Zelen, J. Res. NBS 57 (1956)
 * 273–315, in the list of Leemis, Reliability, 2nd ed., example 8.1. The seventh is 48.48 there, and 48.40 or
 * 48.80 in other copies.
 */
export const bearingLives = [
  17.88, 28.92, 33.0, 41.52, 42.12, 45.6, 48.48, 51.84, 51.96, 54.12, 55.56, 67.8, 68.64, 68.64, 68.88, 84.12, 93.12,
  98.64, 105.12, 105.84, 127.92, 128.04, 173.4,
];

/** Shock absorbers, km, 38 vehicles: O'Connor; Meeker & Escobar (1998), table C.2. Mode 0: still running. */
export const shockAbsorbers: { km: number; mode: 0 | 1 | 2 }[] = [
  ...[6700, 12200, 14300, 17520, 22700, 26510, 27490].map((km) => ({ km, mode: 1 as const })),
  ...[9120, 13150, 20100, 20900].map((km) => ({ km, mode: 2 as const })),
  ...[
    6950, 7820, 8790, 9660, 9820, 11310, 11690, 11850, 11880, 12140, 12870, 13330, 13470, 14040, 17540, 17890, 18450,
    18960, 18980, 19410, 20100, 20150, 20320, 23490, 27410, 27890, 28100,
  ].map((km) => ({ km, mode: 0 as const })),
];

/**
 * Fans of 70 diesel generators, hours: Nelson, Applied Life Data Analysis (1982), table 1.1; dataset genfan of
 * R's survival.
 */
export const generatorFans = livesOf([
  ...[450, 1150, 1150, 1600, 2070, 2070, 2080, 3100, 3450, 4600, 6100, 8750].map(failed),
  ...(
    [
      [460, 1],
      [1560, 1],
      [1660, 1],
      [1850, 5],
      [2030, 3],
      [2200, 1],
      [3000, 4],
      [3200, 1],
      [3750, 2],
      [4150, 4],
      [4300, 4],
      [4850, 4],
      [5000, 3],
      [6100, 3],
      [6300, 1],
      [6450, 2],
      [6700, 1],
      [7450, 1],
      [7800, 2],
      [8100, 2],
      [8200, 1],
      [8500, 3],
      [8750, 2],
      [9400, 1],
      [9900, 1],
      [10100, 3],
      [11500, 1],
    ] as [number, number][]
  ).flatMap(([hours, count]) => Array.from({ length: count }, () => running(hours))),
]);

/** Breakdown of an insulating fluid, minutes by kilovolts: Nelson (1972); dataset ifluid of R's survival. */
export const insulatingFluid: Record<number, number[]> = {
  26: [5.79, 1579.52, 2323.7],
  30: [7.74, 17.05, 20.46, 21.02, 22.66, 43.4, 47.3, 139.07, 144.12, 175.88, 194.9],
  34: [
    0.19, 0.78, 0.96, 1.31, 2.78, 3.16, 4.15, 4.67, 4.85, 6.5, 7.35, 8.01, 8.27, 12.06, 31.75, 32.52, 33.91, 36.71,
    72.89,
  ],
  38: [0.09, 0.39, 0.47, 0.73, 0.74, 1.13, 1.4, 2.38],
};

/**
 * Motorettes, hours by °C: Nelson & Hahn (1972); Kalbfleisch & Prentice (1980); dataset imotor of R's survival.
 */
export const motorettes: { celsius: number; row: LifeRow }[] = [
  ...Array.from({ length: 10 }, () => ({ celsius: 150, row: running(8064) })),
  ...[1764, 2772, 3444, 3542, 3780, 4860, 5196].map((hours) => ({ celsius: 170, row: failed(hours) })),
  ...[5448, 5448, 5448].map((hours) => ({ celsius: 170, row: running(hours) })),
  ...[408, 408, 1344, 1344, 1440].map((hours) => ({ celsius: 190, row: failed(hours) })),
  ...[1680, 1680, 1680, 1680, 1680].map((hours) => ({ celsius: 190, row: running(hours) })),
  ...[408, 408, 504, 504, 504].map((hours) => ({ celsius: 220, row: failed(hours) })),
  ...[528, 528, 528, 528, 528].map((hours) => ({ celsius: 220, row: running(hours) })),
];
