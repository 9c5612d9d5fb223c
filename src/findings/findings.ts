import type { ColumnTable } from 'arquero';
import type { Chain } from '../catalog/chain.ts';
import type { MeasuredNight, MeasuredOutput, MeasuredTest } from '../measure/measured.ts';
import type { ModeledNight } from '../model/modeled.ts';
import type { NormalizedPortion, ReferenceTables } from '../normalize/normalized.ts';
import { rowsOf } from '../tables/rows.ts';
import { buying } from './buying/buying.ts';
import { claimLots } from './buying/claimLots.ts';
import { buyingFindings } from './buyingFindings.ts';
import type { FindingRow, FoundNight, LossRow } from './found.ts';
import { merchandise } from './merchandise/merchandise.ts';
import { peopleFindings } from './peopleFindings.ts';
import { portionDrift } from './portions/portionDrift.ts';
import { silentFindings, storeStatus, testsOwed } from './storeStatus.ts';
import { heavierTrend } from './trend/heavierTrend.ts';
import { weeklyShares } from './weeklyShares.ts';

export type FindingsInput = {
  chain: Chain;
  asOfDay: number;
  measured: MeasuredNight;
  modeled: ModeledNight;
  portions: ColumnTable;
  reference: ReferenceTables;
};

/** What is worth a reader's attention tonight, the money at stake without people, and what is owed. */
export const findings = (input: FindingsInput): FoundNight => {
  const { chain, asOfDay, reference } = input;
  const all = rowsOf<MeasuredTest>(input.measured.tests);
  const used = all.filter((test) => test.state !== 'held');
  const shares = weeklyShares(used, reference.volumes, asOfDay);
  const outputs = rowsOf<MeasuredOutput>(input.measured.outputs);
  const portions = rowsOf<NormalizedPortion>(input.portions);
  const seenDayOf = (test: MeasuredTest): number => test.seenDay ?? asOfDay;
  const people = peopleFindings({
    chain,
    asOfDay,
    all,
    used,
    outputs,
    modeled: input.modeled,
    reference,
    shares,
    seenDayOf,
  });
  const merchandised = merchandise({
    portions,
    used,
    outputs,
    chain,
    shares,
    standards: reference.standards,
    asOfDay,
    termsOf: input.modeled.termsOf,
  });
  const stores = storeStatus(all, reference, chain, asOfDay);
  const found = [
    ...people.findings,
    ...portionDrift({ chain, asOfDay, portions, used, seenDayOf }),
    ...buyingFindings(used, chain),
    ...heavierTrend({
      chain,
      asOfDay,
      used,
      weightModels: input.modeled.weightModels,
      reach: merchandised.reach,
      shares,
      seenDayOf,
    }),
    ...silentFindings(stores),
  ];
  return {
    claimLots: claimLots(used, found, chain),
    findings: found.sort(byMoney),
    losses: lossRows(people.losses, used, chain),
    owed: testsOwed(used, input.modeled.effects, reference, { chain, asOfDay }),
    standards: merchandised.standards,
    stores,
    coaching: people.coaching,
    methods: merchandised.methods,
    buying: buying({ used, outputs, modeled: input.modeled, chain }, reference.quotes, asOfDay),
    merchandise: merchandised,
  };
};

const known = (value: number): number => (Number.isNaN(value) ? -1 : value);
const byMoney = (a: FindingRow, b: FindingRow): number =>
  known(b.moneyPerWeek) - known(a.moneyPerWeek) || (a.findingId < b.findingId ? -1 : 1);

/** Losses of one store, item and habit added up; withheld where the room has fewer cutters than the privacy minimum. */
const lossRows = (losses: readonly LossRow[], used: readonly MeasuredTest[], chain: Chain): LossRow[] => {
  const room = new Map<string, Set<string>>();
  for (const test of used) room.set(test.store, (room.get(test.store) ?? new Set()).add(test.cutter));
  const groups = new Map<string, LossRow>();
  for (const loss of losses) {
    const key = `${loss.region}\u0000${loss.store}\u0000${loss.item}\u0000${loss.habit}`;
    const sum = groups.get(key);
    groups.set(
      key,
      sum === undefined
        ? loss
        : {
            ...sum,
            moneyPerWeek: sum.moneyPerWeek + loss.moneyPerWeek,
            low: sum.low + loss.low,
            high: sum.high + loss.high,
            tests: sum.tests + loss.tests,
          },
    );
  }
  return [...groups.keys()].sort().map((key) => {
    const row = groups.get(key) as LossRow;
    const cutters = room.get(row.store)?.size ?? 0;
    return { ...row, cutters, suppressed: cutters < chain.privacy.minimum_group };
  });
};
