/** One offer as a choice sees it: margin before labor per billed kg, hands-on hours and kg of one output per billed kg. */
export type Choice = { margin: number; hours: number; outputShare: number };

/**
 * What would turn the choice between two offers. laborRate: currency per hour at which both leave the same margin after
 * labor, NaN when hours are equal, unknown or the rate would be below 0. priceChange: change of the output's price per kg
 * that makes them equal at `laborPerHour`, NaN when the output's shares are equal.
 */
export const turningPoint = (
  best: Choice,
  other: Choice,
  laborPerHour: number,
): { laborRate: number; priceChange: number } => {
  const gap = best.margin - other.margin;
  const hours = best.hours - other.hours;
  const rate = Math.abs(hours) > 1e-9 ? gap / hours : Number.NaN;
  const shares = best.outputShare - other.outputShare;
  const labor = hours * laborPerHour;
  const after = gap - (Number.isNaN(labor) ? 0 : labor);
  return {
    laborRate: rate >= 0 ? rate : Number.NaN,
    priceChange: Math.abs(shares) > 1e-9 ? -after / shares : Number.NaN,
  };
};
