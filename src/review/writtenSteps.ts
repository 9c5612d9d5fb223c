/** Steps looked for, in divisions, the coarsest first. */
const multiples = [100, 50, 25, 20, 10, 5, 4, 2];
/** Lines fall on a coarser step this rarely by accident. */
const byAccident = 1e-3;
/** How far off a whole step counts as arithmetic, in steps. */
const slack = 1e-3;

/**
 * The step, kg, in which each sheet's lines are written: its scale's division, or a coarser one (quarter pounds, say) where every line
 * is a multiple of that and would hardly be by accident. A weight written so says nothing finer. lineStart: first line of each sheet and
 * the end of the last; divisionKg: one a sheet.
 */
export const writtenSteps = (
  divisionKg: Float64Array,
  { lineStart, lineKg }: { lineStart: Int32Array; lineKg: Float64Array },
): Float64Array =>
  divisionKg.map((division, i) => {
    const lines = lineKg.subarray(lineStart[i], lineStart[i + 1]).filter((kg) => kg > 0);
    const coarsest = multiples.find(
      (times) => times ** -lines.length < byAccident && lines.every((kg) => isWhole(kg / division / times)),
    );
    return division * (coarsest ?? 1);
  });

const isWhole = (steps: number): boolean => Math.abs(steps - Math.round(steps)) < slack;
