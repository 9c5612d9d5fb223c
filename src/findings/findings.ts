import type { ColumnTable } from 'arquero';
import type { Chain } from '../catalog/chain.ts';
import type { FindingKindName } from '../faults/findingKinds.ts';
import type { RefusedFile } from '../ingest/ingested.ts';
import type { MeasuredNight, MeasuredOutput, MeasuredTest } from '../measure/measured.ts';
import type { ModeledNight } from '../model/modeled.ts';
import { summedMoney } from '../money/summedMoney.ts';
import type { NormalizedPortion, ReferenceTables } from '../normalize/normalized.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { rowsOf } from '../tables/rows.ts';
import { blankLines } from './blankLines.ts';
import { buying } from './buying/buying.ts';
import type { BuyingNight } from './buying/buyingRows.ts';
import { claimLots } from './buying/claimLots.ts';
import { buyingFindings } from './buyingFindings.ts';
import { decisionFindings } from './decisionFindings.ts';
import { fewPeople, type RoomApart } from './fewPeople.ts';
import type { FindingRow, FoundNight, LossRow, StoreStatusRow } from './found.ts';
import { groupFindings } from './groupFindings.ts';
import { type MerchandiseNight, merchandise } from './merchandise/merchandise.ts';
import { peopleFindings, type SourcedLoss } from './peopleFindings.ts';
import { portionDrift } from './portions/portionDrift.ts';
import { rangeFindings } from './rangeFindings.ts';
import { receivedQuestions } from './receivedQuestions.ts';
import { refusedLately } from './refusedLately.ts';
import { scaleQuestions } from './scaleQuestions.ts';
import { silentFindings, storeStatus } from './storeStatus.ts';
import { testsOwed } from './testsOwed.ts';
import { heavierTrend } from './trend/heavierTrend.ts';
import { weeklyShares } from './weeklyShares.ts';

export type FindingsInput = {
  chain: Chain;
  asOfDay: number;
  measured: MeasuredNight;
  modeled: ModeledNight;
  portions: ColumnTable;
  reference: ReferenceTables;
  refusedFiles: readonly RefusedFile[];
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
  const refused = refusedLately(input.refusedFiles, { tests: all, reference }, chain, asOfDay);
  const night = {
    people: people.findings,
    roomsApart: people.roomsApart,
    stores: storeStatus({ tests: all, reference, refused }, chain, asOfDay),
    merchandised,
    bought: buying({ used, outputs, modeled: input.modeled, chain }, reference.quotes, asOfDay),
  };
  const found = allFindings(input, night, { all, used, outputs, portions, shares, seenDayOf });
  return {
    claimLots: claimLots(used, found, { chain, asOfDay }),
    findings: found.sort(byMoney),
    losses: lossRows(people.losses, used, chain),
    owed: testsOwed({ chain, asOfDay, used, effects: input.modeled.effects, reference, shares }),
    standards: merchandised.standards,
    stores: night.stores,
    refused,
    coaching: people.coaching,
    methods: merchandised.methods,
    buying: night.bought,
    merchandise: merchandised,
  };
};

type Parts = {
  people: readonly FindingRow[];
  roomsApart: readonly RoomApart[];
  stores: readonly StoreStatusRow[];
  merchandised: MerchandiseNight;
  bought: BuyingNight;
};
type Tests = {
  all: readonly MeasuredTest[];
  used: readonly MeasuredTest[];
  outputs: readonly MeasuredOutput[];
  portions: readonly NormalizedPortion[];
  shares: ReturnType<typeof weeklyShares>;
  seenDayOf: (test: MeasuredTest) => number;
};

const allFindings = (
  { chain, asOfDay, reference, modeled }: FindingsInput,
  { people, roomsApart, stores, merchandised, bought }: Parts,
  { all, used, outputs, portions, shares, seenDayOf }: Tests,
): FindingRow[] => {
  const isKnown = (test: MeasuredTest): boolean => seenDayOf(test) < asOfDay;
  const about = { chain, asOfDay, used, seenDayOf };
  const decided = { chain, asOfDay, used, outputs, isKnown, standards: reference.standards };
  const { quotes } = reference;
  const toldOn = new Set(
    people.flatMap(({ cutter, item, items }) => (cutter === '' ? [] : (items ?? [item]))),
  );
  const storesOf = (name: FindingKindName): Set<string> =>
    new Set(
      people.flatMap(({ kind, store, status }) => (kind === name && status !== 'resolved' ? [store] : [])),
    );
  const scales = scaleQuestions({ ...about, effects: modeled.effects }, storesOf('scale-question'));
  const scaleTold = new Set([...storesOf('scale-question'), ...scales.map(({ store }) => store)]);
  return [
    ...people,
    ...blankLines({ chain, asOfDay, all, outputs, seenDayOf }),
    ...portionDrift({ ...about, portions }),
    ...groupFindings(
      { ...about, effects: modeled.effects },
      new Set([...storesOf('loss-high'), ...storesOf('scale-question')]),
    ),
    ...fewPeople({ ...about, effects: modeled.effects }, { toldOn, roomsApart }),
    ...scales,
    ...receivedQuestions(about, scaleTold),
    ...buyingFindings(used, chain, isKnown),
    ...rangeFindings(bought.indifference, {
      chain,
      asOfDay,
      quotes,
      ranked: bought.quotes,
      isAnyKnown: used.some(isKnown),
    }),
    ...heavierTrend({
      ...about,
      shares,
      weightModels: modeled.weightModels,
      reach: merchandised.reach,
    }),
    ...decisionFindings(merchandised, decided),
    ...silentFindings(stores, chain, asOfDay),
  ];
};

const known = (value: number): number => (Number.isNaN(value) ? -1 : value);
const byMoney = (a: FindingRow, b: FindingRow): number =>
  known(b.moneyPerWeek) - known(a.moneyPerWeek) || (a.findingId < b.findingId ? -1 : 1);

/** Losses of one store, item and habit added up; withheld where the room has fewer cutters than the privacy minimum. */
const lossRows = (losses: readonly SourcedLoss[], used: readonly MeasuredTest[], chain: Chain): LossRow[] => {
  const room = new Map<string, Set<string>>();
  for (const test of used) room.set(test.store, (room.get(test.store) ?? new Set()).add(test.cutter));
  const groups = groupedBy(
    losses,
    ({ region, store, item, habit }) => `${region}\u0000${store}\u0000${item}\u0000${habit}`,
  );
  return [...groups.keys()].sort().map((key) => {
    const own = groups.get(key) as SourcedLoss[];
    const { value, low, high, errors } = summedMoney(
      own.map((loss) => ({ value: loss.moneyPerWeek, errors: loss.errors })),
    );
    const row = own[0] as SourcedLoss;
    const cutters = room.get(row.store)?.size ?? 0;
    return {
      ...row,
      went: own.every(({ went }) => went === row.went) ? (row.went ?? '') : '',
      moneyPerWeek: value,
      low,
      high,
      errors,
      tests: own.reduce((sum, loss) => sum + loss.tests, 0),
      cutters,
      suppressed: cutters < chain.privacy.minimum_group,
    };
  });
};
