import { type ColumnTable, table } from 'arquero';
import { outcomes } from '../catalog/outcomes.ts';
import { textsOf } from '../tables/columns.ts';

/** The table that the model hands on, one row a used test; see ModeledNight. */
export const expectedTable = (
  used: ColumnTable,
  night: {
    expected: readonly Float64Array[];
    residual: readonly Float64Array[];
    sd: readonly Float64Array[];
    effects: readonly { store: Float64Array; cutter: Float64Array }[];
    tails: Float64Array;
  },
): ColumnTable => {
  const columns: Record<string, ArrayLike<unknown>> = {
    store: textsOf(used, 'store'),
    testId: textsOf(used, 'testId'),
    composition_tail: night.tails,
  };
  for (const [k, outcome] of outcomes.entries()) {
    columns[`expected_${outcome}`] = night.expected[k] as Float64Array;
    columns[`residual_${outcome}`] = night.residual[k] as Float64Array;
    columns[`sd_${outcome}`] = night.sd[k] as Float64Array;
    columns[`store_${outcome}`] = night.effects[k]?.store as Float64Array;
    columns[`cutter_${outcome}`] = night.effects[k]?.cutter as Float64Array;
  }
  return table(columns as Record<string, unknown[]>);
};
