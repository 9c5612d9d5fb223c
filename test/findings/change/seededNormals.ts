import { normalQuantile } from '../../../src/tables/normalDistribution.ts';

/** A stream of standard normal values from a seed (32-bit mixing steps of a Weyl sequence, then the normal quantile). */
export const seededNormals = (seed: number): (() => number) => {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x9e3779b9) >>> 0;
    let mixed = state;
    mixed = Math.imul(mixed ^ (mixed >>> 16), 0x21f0aaad);
    mixed = Math.imul(mixed ^ (mixed >>> 15), 0x735a2d97);
    return normalQuantile((((mixed ^ (mixed >>> 15)) >>> 0) + 0.5) / 4294967296);
  };
};
