/** Exact by definition (international avoirdupois pound, 1959 agreement). */
export const kgPerLb = 0.45359237;

const kgPer: Record<string, number> = {
  lb: kgPerLb,
  'lb-oz': kgPerLb,
  kg: 1,
  oz: kgPerLb / 16,
  g: 0.001,
};

/** Kilograms in one unit of weight; NaN for a unit that is not known. `lb-oz` weights are already in pounds. */
export const kilogramsPer = (unit: string): number =>
  Object.hasOwn(kgPer, unit) ? (kgPer[unit] as number) : Number.NaN;
