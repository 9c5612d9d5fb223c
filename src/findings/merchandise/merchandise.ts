import type { StandardRow } from '../../normalize/normalized.ts';
import type { MethodRow, StandardChangeRow } from '../found.ts';
import type { weeklyShares } from '../weeklyShares.ts';
import { type MethodByWeightRow, methodByWeight } from './methodByWeight.ts';
import { type MethodUnanswered, methodGroups } from './methodGroup.ts';
import { type MethodOutputRow, methodOutputs } from './methodOutputs.ts';
import { methodRows } from './methodRows.ts';
import { type PortionReachRow, portionReach } from './portionReach.ts';
import { type PortionInput, type PortionRow, portionRows } from './portionRows.ts';
import { type StandardUnsettled, standardRows } from './standardRows.ts';

/** The merchandiser's half of the night: which way of cutting pays, what outputs cost, what portions really weigh. */
export type MerchandiseNight = {
  methods: MethodRow[];
  byWeight: MethodByWeightRow[];
  unanswered: MethodUnanswered[];
  outputs: MethodOutputRow[];
  standards: StandardChangeRow[];
  unsettled: StandardUnsettled[];
  portions: PortionRow[];
  reach: PortionReachRow[];
};

export type MerchandiseInput = PortionInput & {
  shares: ReturnType<typeof weeklyShares>;
  standards: readonly StandardRow[];
  asOfDay: number;
};

/** Ways of cutting against each other, joint costs, book yields, and portions against their spec. */
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
    portions: portionRows(input),
    reach: portionReach(input),
  };
};

/** Weekly volume of an item over the stores that report one, kg; NaN when none does. */
const weeklyVolume = ({ stores }: ReturnType<typeof weeklyShares>, item: string): number => {
  const known = [...stores].flatMap(([key, share]) =>
    key.endsWith(`\u0000${item}`) && Number.isFinite(share.kgPerWeek) ? [share.kgPerWeek] : [],
  );
  return known.length === 0 ? Number.NaN : known.reduce((sum, kg) => sum + kg, 0);
};
