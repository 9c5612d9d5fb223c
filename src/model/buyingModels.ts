import type { ModeledNight, WeightModel } from './modeled.ts';
import type { TestFacts } from './testFacts.ts';
import { weightCurves } from './weightCurves.ts';
import { weightModel } from './weightModel.ts';
import type { YieldGroup } from './yieldGroups.ts';

/** The fitted curves over weight, as models and as rows; suppliers by their names. */
export const weightFits = (
  groups: readonly YieldGroup[],
  facts: TestFacts,
  supplierNames: readonly string[],
): Pick<ModeledNight, 'weightModels' | 'curves'> => {
  const [item, spec, treatment] = [facts.text('item'), facts.text('spec'), facts.text('treatment')];
  const weightModels = groups.flatMap(({ rows, problem, fit }): WeightModel[] => {
    const first = rows[0] as number;
    return fit === undefined
      ? []
      : [
          weightModel(
            problem,
            fit,
            {
              item: item[first] as string,
              spec: spec[first] as string,
              treatment: treatment[first] as string,
            },
            supplierNames,
          ),
        ];
  });
  return { weightModels, curves: weightCurves(weightModels) };
};
