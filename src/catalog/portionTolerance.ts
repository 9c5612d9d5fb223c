import { kgPerLb } from '../units/weight.ts';

const kgPerOz = kgPerLb / 16;

/** Plus and minus around a portion's target, with where the figure is from. */
export type Tolerance = { plusMinus: number; source: 'chain.yaml' | 'from memory, editable default' };

/**
 * Weight tolerance of a portion by its target, kg: 0.25 oz below 6 oz, 0.5 below 12, 0.75 below 18, else 1.0. FROM MEMORY
 * (domain facts section 2, trust M; an older edition may break at 24 oz): a default to be edited in chain.yaml.
 */
export const weightTolerance = (targetKg: number, ownKg = Number.NaN): Tolerance => {
  if (ownKg >= 0) return { plusMinus: ownKg, source: 'chain.yaml' };
  const ounces = targetKg / kgPerOz;
  const allowed = ounces < 6 ? 0.25 : ounces < 12 ? 0.5 : ounces < 18 ? 0.75 : 1;
  return { plusMinus: allowed * kgPerOz, source: 'from memory, editable default' };
};

/** Thickness tolerance of a portion by its target, inches: 3/16 up to 1 in, else 1/4. FROM MEMORY (domain facts section 2, trust M). */
export const thicknessTolerance = (targetIn: number): Tolerance => ({
  plusMinus: targetIn <= 1 ? 0.1875 : 0.25,
  source: 'from memory, editable default',
});
