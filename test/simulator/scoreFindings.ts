import { type Outcome, outcomes } from '../../src/catalog/outcomes.ts';
import type { FindingRow, FoundNight } from '../../src/findings/found.ts';
import { habits } from './compositions.ts';
import { type Figures, rate, share } from './figures.ts';
import type { SimChain, SimCutter } from './simulated.ts';
import { referenceOf } from './simulatedFolder.ts';
import { presentTruthsOf, type Truth } from './truths.ts';

const threshold = 1;
const large = 2.5;
const fewestTests = 8;

/** Kinds that tell of one cutter's lasting habit. */
const habitKinds = new Set([
  'over-trimming',
  'fat-in-trim',
  'under-trimming',
  'tare-question',
  'missing-product',
  'unweighed-trim',
  'portion-drift',
]);
/** Kinds that are a question about the sheets, not about money lost. */
const questions = new Set(['under-trimming', 'tare-question', 'fat-in-trim']);

/** How the night's findings on habits compare with the truth of today's level: precision, recall, kind, money, rooms, lone cutters. */
export const scoreFindings = (sim: SimChain, found: FoundNight): Figures => {
  const truths = presentTruthsOf(sim);
  const cutters = new Map(sim.cutters.map((cutter) => [cutter.cutter, cutter]));
  // pieces out of spec are not an effect of the chain's truth
  const told = found.findings.filter((row) => habitKinds.has(row.kind) && row.outcome !== 'portions');
  const shown = told.filter((row) => row.cutter !== '');
  const truthOf = (row: FindingRow): Truth => pooled(truths, row.cutter, itemsOf(sim, row));
  const isTrue = (row: FindingRow): boolean => {
    const truth = truthOf(row).effects[outcomeOf(row)];
    return Math.sign(row.effect) * truth > threshold;
  };
  // a lone cutter's habit is told of the store
  const isAbout = (row: FindingRow, { cutter, home }: SimCutter): boolean =>
    row.cutter === cutter || (home.isLone && row.cutter === '' && row.store === home.store);
  const covers = (cutter: SimCutter, item: string): ((row: FindingRow) => boolean) => {
    return (row) =>
      isAbout(row, cutter) && (row.items?.includes(item) ?? (row.item === '' || row.item === item));
  };
  const big = sim.cutters.flatMap((cutter) =>
    (cutter.habit?.items ?? [])
      .map((item) => ({ cutter, item, truth: truths.get(`${cutter.cutter} ${item}`) }))
      .filter(({ truth }) => truth !== undefined && truth.tests >= fewestTests && isLarge(cutter, truth)),
  );
  const hits = shown.filter((row) => {
    const habit = cutters.get(row.cutter)?.habit;
    return (
      isTrue(row) &&
      habit !== undefined &&
      (row.items ?? itemsOf(sim, row)).some((item) => habit.items.includes(item))
    );
  });
  const money = shown.filter((row) => !questions.has(row.kind) && row.moneyPerWeek > 0);
  const kg = weeklyKg(sim);
  const rooms = sim.stores.filter((store) => store.room !== undefined);
  const roomCutters = sim.cutters.filter((cutter) => cutter.home.room !== undefined);
  const alone = sim.cutters.filter((cutter) => cutter.home.isLone);
  const people = new Set(shown.map((row) => row.cutter));
  return {
    'person findings shown, a chain': rate(shown.length, 1),
    'person findings right': share(shown, isTrue),
    'person findings right, money lost': share(
      shown.filter((row) => !questions.has(row.kind)),
      isTrue,
    ),
    'large habits shown': share(big, ({ cutter, item }) => told.some(covers(cutter, item))),
    'right kind of true hits': share(hits, (row) => isRightKind(cutters.get(row.cutter)?.habit, row)),
    'money interval holds the truth': share(money, (row) => {
      const truth = (row.items ?? itemsOf(sim, row))
        .map((item) => `${row.cutter} ${item}`)
        .reduce((sum, key) => sum - (truths.get(key)?.effects.value ?? 0) * (kg.get(key) ?? 0), 0);
      return row.moneyLow <= truth && truth <= row.moneyHigh;
    }),
    'person findings per 300 cutters': rate(300 * shown.length, sim.cutters.length),
    'room habits found': share(rooms, (store) => found.findings.some((row) => isRoomOf(row, store))),
    // who truly differs from the others of the room is named rightly
    'persons named wrongly in room-habit rooms': share(roomCutters, (cutter) =>
      shown.some((row) => covers(cutter, cutter.home.room?.item as string)(row) && !isTrue(row)),
    ),
    'persons named alone in a store': share(alone, (cutter) => people.has(cutter.cutter)),
  };
};

const isRoomOf = (row: FindingRow, store: SimChain['stores'][number]): boolean =>
  row.kind === 'room-habit' &&
  row.store === store.store &&
  (row.item === '' || row.item === store.room?.item);

const isLarge = (cutter: SimCutter, truth: Truth): boolean =>
  cutter.habit !== undefined && Math.abs(truth.effects[habits[cutter.habit.kind].outcome]) > large;

const isRightKind = (habit: SimCutter['habit'], row: FindingRow): boolean =>
  habit !== undefined && (habits[habit.kind].kinds as readonly string[]).includes(row.kind);

const itemsOf = (sim: SimChain, row: FindingRow): string[] =>
  row.item === '' ? sim.items.map(({ item }) => item) : [row.item];

const outcomeOf = (row: FindingRow): Outcome => {
  const found = outcomes.find((outcome) => outcome === row.outcome);
  if (found === undefined) throw new Error(`score: finding ${row.kind} names no outcome: "${row.outcome}"`);
  return found;
};

/** True effects over some items together, weighted by tests. */
const pooled = (truths: ReadonlyMap<string, Truth>, cutter: string, items: readonly string[]): Truth => {
  const own = items.flatMap((item) => truths.get(`${cutter} ${item}`) ?? []);
  const tests = own.reduce((sum, truth) => sum + truth.tests, 0);
  const mean = (outcome: Outcome): number =>
    own.reduce((sum, truth) => sum + truth.tests * truth.effects[outcome], 0) / tests;
  return {
    tests,
    effects: Object.fromEntries(outcomes.map((outcome) => [outcome, mean(outcome)])) as Truth['effects'],
  };
};

/** Kg a week by `cutter item`: the cutter's share of the tests of each store x the store's weekly volume of the item. */
export const weeklyKg = (sim: SimChain): Map<string, number> => {
  const volume = new Map(referenceOf(sim).volumes.map((row) => [`${row.store} ${row.item}`, row.weightKg]));
  const inStore = new Map<string, number>();
  for (const { store, item } of sim.tests)
    inStore.set(`${store.store} ${item.item}`, (inStore.get(`${store.store} ${item.item}`) ?? 0) + 1);
  const kg = new Map<string, number>();
  for (const { store, cutter, item } of sim.tests) {
    const place = `${store.store} ${item.item}`;
    const key = `${cutter.cutter} ${item.item}`;
    kg.set(key, (kg.get(key) ?? 0) + (volume.get(place) ?? 0) / (inStore.get(place) as number));
  }
  return kg;
};

/** By how much each person's money moves with an ad week, as a share; 1 when findings came or went. It must not move. */
export const adWeekMoves = (usual: FoundNight, ad: FoundNight): number[] => {
  const keyOf = (row: FindingRow): string => `${row.kind} ${row.store} ${row.cutter} ${row.item}`;
  const before = new Map(usual.findings.map((row) => [keyOf(row), row]));
  const people = ad.findings.filter((row) => row.cutter !== '');
  const appeared = people.length === usual.findings.filter((row) => row.cutter !== '').length ? [] : [1];
  return [
    ...appeared,
    ...people.map((row) => {
      const other = before.get(keyOf(row))?.moneyPerWeek;
      if (other === undefined || Number.isNaN(other) !== Number.isNaN(row.moneyPerWeek)) return 1;
      return Number.isNaN(other) ? 0 : Math.abs(row.moneyPerWeek - other) / Math.max(1, Math.abs(other));
    }),
  ];
};
