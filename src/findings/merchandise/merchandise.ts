import type { ModeledNight } from '../../model/modeled.ts';
import type { StandardRow } from '../../normalize/normalized.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import type { weeklyShares } from '../weeklyShares.ts';
import type { MethodRow, StandardChangeRow } from './decisionRows.ts';
import { type MethodByWeightRow, methodByWeight } from './methodByWeight.ts';
import { type MethodUnanswered, methodGroups } from './methodGroup.ts';
import { type MethodOutputRow, methodOutputs } from './methodOutputs.ts';
import { methodRows } from './methodRows.ts';
import { type PortionReachRow, portionReach } from './portionReach.ts';
import { type PortionInput, type PortionRow, portionRows } from './portionRows.ts';
import { type QuarterChangeRow, quarterChange } from './quarterChange.ts';
import { type StandardUnsettled, standardRows } from './standardRows.ts';
import { type MarginCount, marginCount, type UnpricedRow, unpricedRows } from './unpricedRows.ts';
import { type Followed, splitTests, unsplitText } from './valueParts.ts';
import { type TrendRow, valueTrend } from './valueTrend.ts';

/** The merchandiser's half of the night: which way of cutting pays, what outputs cost, what portions really weigh. */
export type MerchandiseNight = {
  methods: MethodRow[];
  byWeight: MethodByWeightRow[];
  unanswered: MethodUnanswered[];
  outputs: MethodOutputRow[];
  standards: StandardChangeRow[];
  unsettled: StandardUnsettled[];
  changes: QuarterChangeRow[];
  trend: TrendRow[];
  portions: PortionRow[];
  reach: PortionReachRow[];
  unpriced: UnpricedRow[];
  margins: MarginCount;
};

export type MerchandiseInput = PortionInput & {
  shares: ReturnType<typeof weeklyShares>;
  standards: readonly StandardRow[];
  asOfDay: number;
  termsOf: ModeledNight['termsOf'];
};

/** Ways of cutting against each other, joint costs, book yields, what changed, and portions against their spec. */
export const merchandise = (input: MerchandiseInput): MerchandiseNight => {
  const { used, outputs, chain } = input;
  const { groups, unanswered } = methodGroups(used, outputs, chain);
  const volumeOf = (item: string): number => weeklyVolume(input.shares, item);
  const settled = standardRows(outputs, used, input.standards, { chain, asOfDay: input.asOfDay });
  return {
    methods: groups.flatMap((group) => methodRows(group, { chain, volumeOf })),
    byWeight: groups.flatMap((group) => methodByWeight(group, chain)),
    unanswered,
    outputs: methodOutputs(used, outputs, chain),
    standards: settled.changes,
    unsettled: settled.unsettled,
    ...overTime(input, volumeOf),
    portions: portionRows(input),
    reach: portionReach(input),
    unpriced: unpricedRows(used, outputs),
    margins: marginCount(used),
  };
};

const followed: readonly Followed[] = ['value', 'saleable'];
const trendDays = 400;

/** Change since the quarter before and trend, from tests of the last 400 days. */
const overTime = (
  { used, asOfDay, termsOf }: MerchandiseInput,
  volumeOf: (item: string) => number,
): Pick<MerchandiseNight, 'changes' | 'trend'> => {
  const recent = used.filter((test) => test.cutDay > asOfDay - trendDays && test.cutDay <= asOfDay);
  const byItem = groupedBy(recent, (test) => test.item);
  const split = followed.map((figure) => ({ figure, tests: splitTests(recent, figure, termsOf) }));
  return {
    changes: split.flatMap(({ figure, tests }) => {
      const unsplit = [...byItem].map(([item, own]) => [item, unsplitText(own, figure, termsOf)] as const);
      return quarterChange(tests, figure, { asOfDay, volumeOf, unsplit: new Map(unsplit) });
    }),
    trend: split.flatMap(({ figure, tests }) => valueTrend(tests, figure)),
  };
};

/** Weekly volume of an item over the stores that report one, kg; NaN when none does. */
const weeklyVolume = ({ stores }: ReturnType<typeof weeklyShares>, item: string): number => {
  const known = [...stores].flatMap(([key, share]) =>
    key.endsWith(`\u0000${item}`) && Number.isFinite(share.kgPerWeek) ? [share.kgPerWeek] : [],
  );
  return known.length === 0 ? Number.NaN : known.reduce((sum, kg) => sum + kg, 0);
};
