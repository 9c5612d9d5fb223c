import { normalCdf, normalDensity, normalQuantile } from '../../tables/normalDistribution.ts';
import { quantile } from '../../tables/quantile.ts';

/** Where values stop to count for the center and for the scale, in median absolute deviations. */
const [centerBend, scaleBend] = [4.5, 3];

/** Mean of min(Z^2, bend^2) in units of the raw median absolute deviation, at the normal. */
const boundedSquare = (): number => {
  const bend = scaleBend * normalQuantile(0.75);
  return 2 * ((1 - bend * bend) * normalCdf(bend) - bend * normalDensity(bend) + bend * bend) - 1;
};

/**
 * Tau scale with weighted center (Yohai & Zamar 1988 JASA 83:406; as in Maronna & Zamar 2002 Technometrics 44:307): 50 %
 * breakdown, high efficiency, one sort; an SD at the normal. For many values where Qn costs too much. NaN for no values, 0
 * where half of them are equal; missing values (NaN) are left out.
 */
export const tauScale = (values: ArrayLike<number>): number => {
  const known = Float64Array.from(values).filter((value) => !Number.isNaN(value));
  const median = quantile(known, 0.5);
  const spread = quantile(
    known.map((value) => Math.abs(value - median)),
    0.5,
  );
  if (!(spread > 0)) return spread;
  let [sum, total] = [0, 0];
  for (const value of known) {
    const weight = Math.max(0, 1 - ((value - median) / (centerBend * spread)) ** 2) ** 2;
    sum += weight * value;
    total += weight;
  }
  const center = sum / total;
  const squares = known.reduce(
    (all, value) => all + Math.min(((value - center) / spread) ** 2, scaleBend * scaleBend),
    0,
  );
  return spread * Math.sqrt(squares / known.length / boundedSquare());
};
