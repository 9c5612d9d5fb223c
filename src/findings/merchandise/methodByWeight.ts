import type { Chain } from '../../catalog/chain.ts';
import { itemEntry } from '../../catalog/itemEntry.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { countedTests } from '../../units/counted.ts';
import { adjustedMeans, gapVariance } from './adjustedMeans.ts';
import { fewestTests, type MethodGroup } from './methodGroup.ts';
import { worthOf } from './methodRows.ts';

/** How the answer shifts with piece weight: gap of one way over another in one weight range, per billed kg after labor. */
export type MethodByWeightRow = {
  item: string;
  spec: string;
  method: string;
  otherMethod: string;
  weightClass: string;
  tests: number;
  gapPerBilledKg: number;
  low: number;
  high: number;
  missing: string;
};

/** The gap in each weight range by itself, grade and weight held equal within it; each pair of ways once. */
export const methodByWeight = (group: MethodGroup, chain: Chain): MethodByWeightRow[] => {
  const ranges = itemEntry(chain, group)?.weight_classes ?? [];
  return group.methods.flatMap((method, own) =>
    group.methods.slice(0, own).flatMap((otherMethod, other) =>
      ranges.map((range) => {
        const name = { item: group.item, spec: group.spec, method, otherMethod, weightClass: range.name };
        return { ...name, ...gapIn(group, range.name, { own, other }) };
      }),
    ),
  );
};

const gapIn = (
  { tests, design, isLaborKnown }: MethodGroup,
  range: string,
  { own, other }: { own: number; other: number },
): Pick<MethodByWeightRow, 'tests' | 'gapPerBilledKg' | 'low' | 'high' | 'missing'> => {
  const at = tests.flatMap((test, i) => {
    const code = design.group[i] as number;
    return test.weightClass === range && (code === own || code === other) ? [i] : [];
  });
  const pick = (values: readonly number[]): number[] => at.map((i) => values[i] as number);
  const group = pick(design.group).map((code) => (code === own ? 1 : 0));
  const ofOwn = group.filter((code) => code === 1).length;
  const fewest = Math.min(ofOwn, group.length - ofOwn);
  if (fewest < fewestTests)
    return {
      tests: at.length,
      gapPerBilledKg: Number.NaN,
      low: Number.NaN,
      high: Number.NaN,
      missing: `${countedTests(fewest)} of one way in this range; ${fewestTests} are needed`,
    };
  const found = adjustedMeans(
    {
      group,
      count: 2,
      covariates: design.covariates.map(pick),
      within: undefined,
      clusters: pick(design.clusters),
    },
    at.map((i) => worthOf(tests[i] as (typeof tests)[number], isLaborKnown)),
  );
  const gap = (found.means[1] as number) - (found.means[0] as number);
  const reach = z975 * Math.sqrt(gapVariance(found, 1, 0));
  return { tests: at.length, gapPerBilledKg: gap, low: gap - reach, high: gap + reach, missing: '' };
};
