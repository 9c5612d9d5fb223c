import { errorFunction } from 'simple-statistics';

/** P(Z <= z) of the standard normal distribution, to about 1e-7 (simple-statistics' error function). */
export const normalCdf = (z: number): number => (1 + errorFunction(z / Math.SQRT2)) / 2;

/** 97.5 % point of the standard normal distribution. */
export const z975 = 1.959963984540054;
