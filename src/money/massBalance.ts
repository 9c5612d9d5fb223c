/** Weights of one test in kg; NaN = missing. weighed: 'in-bag', 'drained' or '' when unknown. */
export type ScaleReadings = {
  billedKg: number;
  receivedKg: number;
  weighed: string;
  purgeKg: number;
  addedKg: number;
  outputsKg: Iterable<number>;
};

export type MassBalance = {
  drainedKg: number;
  billedKg: number;
  purgeKg: number;
  shortKg: number;
  unaccountedKg: number;
};

const orZero = (value: number): number => (Number.isNaN(value) ? 0 : value);

/** A weight in kg, 0 where it is only what doubles lose in a sum. */
const unlessRounding = (kg: number): number => (Math.abs(kg) < 1e-9 ? 0 : kg);

/**
 * Where the weight of one received piece went, in kg. Drained is received less purge when weighed in the bag, else
 * received; billed missing is drained + purge; short = billed - (drained + purge); unaccounted = drained + added - outputs.
 * NaN drained when weighed in the bag without purge. Blank output lines (NaN) are left out of the sum.
 * Worked check: domain facts E8 (billed 18.75, drained 18.625, purge 0.125; forum post, low authority).
 */
export const massBalance = (readings: ScaleReadings): MassBalance => {
  const inBag = readings.weighed === 'in-bag';
  const drainedKg = inBag
    ? readings.receivedKg - readings.purgeKg
    : readings.weighed === 'drained'
      ? readings.receivedKg
      : Number.NaN;
  const billedKg = Number.isNaN(readings.billedKg) ? drainedKg + orZero(readings.purgeKg) : readings.billedKg;
  const purgeKnown = inBag || !Number.isNaN(readings.purgeKg);
  let outputsKg = 0;
  for (const weight of readings.outputsKg) outputsKg += orZero(weight);
  return {
    drainedKg,
    billedKg,
    purgeKg: readings.purgeKg,
    shortKg: purgeKnown ? unlessRounding(billedKg - (drainedKg + readings.purgeKg)) : Number.NaN,
    unaccountedKg: drainedKg + orZero(readings.addedKg) - outputsKg,
  };
};
