/**
 * x >= 0 where an increasing function reaches `target`, by doubling from 1 and then halving until doubles end; the function
 * starts at or below the target at 0. NaN when it is not reached below 1e300.
 */
export const increasingRoot = (value: (x: number) => number, target: number): number => {
  let high = 1;
  while (value(high) < target) {
    high *= 2;
    if (!(high < 1e300)) return Number.NaN;
  }
  let low = 0;
  for (let round = 0; round < 1100; round++) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    if (value(middle) < target) low = middle;
    else high = middle;
  }
  return high;
};
