import { type Outcome, outcomes } from '../catalog/outcomes.ts';
import type { ModeledNight, SupplierItemEffect, WeightModel } from './modeled.ts';
import type { TestFacts } from './testFacts.ts';
import { weightCurves } from './weightCurves.ts';
import { weightModel } from './weightModel.ts';
import type { YieldGroup } from './yieldGroups.ts';

/** The fitted curves over weight, as models and as rows. */
export const weightFits = (
  groups: readonly YieldGroup[],
  facts: TestFacts,
): Pick<ModeledNight, 'weightModels' | 'curves'> => {
  const [item, spec, treatment] = [facts.text('item'), facts.text('spec'), facts.text('treatment')];
  const weightModels = groups.flatMap(({ rows, problem, fit }): WeightModel[] => {
    const first = rows[0] as number;
    return fit === undefined
      ? []
      : [
          weightModel(problem, fit, {
            item: item[first] as string,
            spec: spec[first] as string,
            treatment: treatment[first] as string,
          }),
        ];
  });
  return { weightModels, curves: weightCurves(weightModels) };
};

/** Supplier effects of one item, spec and treatment. */
export const supplierItems = (
  { rows, fit }: YieldGroup,
  facts: TestFacts,
  names: readonly string[],
): SupplierItemEffect[] => {
  const first = rows[0] as number;
  const [item, spec, treatment] = ['item', 'spec', 'treatment'].map(
    (name) => facts.text(name)[first] as string,
  ) as [string, string, string];
  return (fit?.fits ?? []).flatMap((own, k) =>
    own === undefined
      ? []
      : own.supplier.codes.map((code, place) => ({
          supplier: names[code] as string,
          item,
          spec,
          treatment,
          outcome: outcomes[k] as Outcome,
          effect: own.supplier.blup[place] as number,
          sd: own.supplier.sd[place] as number,
        })),
  );
};
