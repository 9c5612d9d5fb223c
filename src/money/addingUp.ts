/**
 * Parts rounded to a step so that they add to the rounded total: what rounding leaves over goes, a step at a time, to the
 * parts that lost or gained most by it (largest remainder). step > 0; parts must add to the total within half a step.
 * Printed lists then add up to the cent.
 */
export const addingUp = (total: number, parts: readonly number[], step: number): number[] => {
  const rounded = parts.map((part) => Math.round(part / step));
  const left = Math.round(total / step) - rounded.reduce((sum, part) => sum + part, 0);
  if (!Number.isFinite(left)) return parts.map((part) => part);
  const direction = Math.sign(left);
  const order = parts
    .map((part, i) => ({ i, off: direction * (part / step - (rounded[i] as number)) }))
    .sort((a, b) => b.off - a.off || a.i - b.i)
    .slice(0, Math.abs(left));
  for (const { i } of order) rounded[i] = (rounded[i] as number) + direction;
  return rounded.map((part) => part * step);
};
