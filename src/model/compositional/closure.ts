/** Parts divided by their sum, so that they add to 1. NaN throughout when a part is missing or negative or all are 0. */
export const closure = (parts: ArrayLike<number>): Float64Array => {
  const own = Float64Array.from(parts);
  const sum = own.reduce((total, part) => total + (part >= 0 ? part : Number.NaN), 0);
  return own.map((part) => (sum > 0 ? part / sum : Number.NaN));
};
