import { type Outcome, outcomes } from '../../src/catalog/outcomes.ts';
import type { EffectRow, ModeledNight } from '../../src/model/modeled.ts';
import { kgPerLb } from '../../src/units/weight.ts';
import { classNames, habits, pricesPerLb } from './compositions.ts';
import {
  type Figure,
  type Figures,
  largest,
  meanOf,
  rate,
  rootMeanSquare,
  share,
  spearman,
} from './figures.ts';
import type { SimChain, SimCutter } from './simulated.ts';
import { truthsOf } from './truths.ts';

const threshold = 1;
const flagChance = 0.9;
/** The outcomes on which a person could be flagged. */
const told: readonly Outcome[] = ['saleable', 'main_cut', 'lean_trim', 'unaccounted'];

type Cell = { row: EffectRow; truth: number };

/** How the model's effects of cutters and stores compare with the truth. */
export const scoreModel = (sim: SimChain, modeled: ModeledNight): Figures => {
  const truths = truthsOf(sim);
  const cells = cellsOf(modeled, 'cutter-item', truths.cutters);
  const saleable = cells.filter(({ row }) => row.outcome === 'saleable');
  const toldCells = cells.filter(({ row }) => told.includes(row.outcome));
  const habitBy = new Map(sim.cutters.map((cutter) => [cutter.cutter, cutter.habit]));
  const habitCells = toldCells.filter(({ row }) => isNamedOn(habitBy.get(row.id), row));
  const stores = cellsOf(modeled, 'store-item', truths.stores);
  return {
    'RMSE saleable, points': rootMeanSquare(saleable, errorOf),
    'RMSE saleable, item means apart': rootMeanSquare(centered(saleable), (error) => error),
    'true spread saleable, points': rootMeanSquare(saleable, ({ truth }) => truth),
    'mean error saleable, points': meanOf(saleable, errorOf),
    'Spearman saleable': spearman(
      saleable,
      ({ row }) => row.effect,
      ({ truth }) => truth,
    ),
    'habit cells in top k': topK(habitBy, toldCells),
    'coverage saleable': share(saleable, isCovered),
    ...Object.fromEntries(
      outcomes
        .filter((outcome) => outcome !== 'saleable')
        .map((outcome) => [
          `coverage ${outcome}`,
          share(
            cells.filter(({ row }) => row.outcome === outcome && canVary(sim, row)),
            isCovered,
          ),
        ]),
    ),
    'coverage n < 8': share(
      saleable.filter(({ row }) => row.tests < 8),
      isCovered,
    ),
    'coverage habit cells': share(habitCells, isCovered),
    'coverage flagged cells': share(toldCells.filter(isFlagged), isCovered),
    'flagged beyond threshold': share(toldCells.filter(isFlagged), isBeyond),
    'coverage stores saleable': share(
      stores.filter(({ row }) => row.outcome === 'saleable'),
      isCovered,
    ),
    'RMSE stores saleable, points': rootMeanSquare(
      stores.filter(({ row }) => row.outcome === 'saleable'),
      errorOf,
    ),
    'outside 95 % funnel': share(
      saleable.filter(({ row }) => row.differenceSd > 0 && Number.isFinite(row.differenceSd)),
      ({ row }) => Math.abs(row.difference) > 1.959964 * row.differenceSd,
    ),
    'closure, largest': largest(closures(modeled), (gap) => gap),
    'store error per Select share': selectSlope(sim, stores),
    'curve error, points': curveError(sim, modeled),
    ...calibration(saleable),
    ...singledOut(sim, toldCells),
  };
};

const cellsOf = (
  modeled: ModeledNight,
  kind: EffectRow['kind'],
  truths: ReturnType<typeof truthsOf>['cutters'],
): Cell[] =>
  modeled.effects.flatMap((row) => {
    const truth = row.kind === kind ? truths.get(`${row.id} ${row.item}`) : undefined;
    return truth === undefined ? [] : [{ row, truth: truth.effects[row.outcome] }];
  });

const errorOf = ({ row, truth }: Cell): number => row.effect - truth;
const isCovered = ({ row, truth }: Cell): boolean => row.low <= truth && truth <= row.high;
const isFlagged = ({ row }: Cell): boolean =>
  row.status === 'ok' && Math.abs(row.effect) > threshold && row.chanceBeyond >= flagChance;
const isBeyond = ({ row, truth }: Cell): boolean => Math.sign(row.effect) * truth > threshold;

/** A boneless item has no bone to differ in. */
const canVary = (sim: SimChain, row: EffectRow): boolean =>
  row.outcome !== 'bone' || sim.items.some(({ item, base }) => item === row.item && base.bone > 0);

/** Whether a cutter's habit covers this item and is named on this outcome. */
const isNamedOn = (habit: SimCutter['habit'], row: EffectRow): boolean =>
  habit?.items.includes(row.item) === true && habits[habit.kind].outcome === row.outcome;

/** Errors with each item's mean error taken out: what a model that puts zero elsewhere may call its own. */
const centered = (cells: readonly Cell[]): number[] => {
  const sums = new Map<string, { sum: number; n: number }>();
  for (const cell of cells) {
    const sum = sums.get(cell.row.item) ?? { sum: 0, n: 0 };
    sums.set(cell.row.item, { sum: sum.sum + errorOf(cell), n: sum.n + 1 });
  }
  return cells.map((cell) => {
    const { sum, n } = sums.get(cell.row.item) as { sum: number; n: number };
    return errorOf(cell) - sum / n;
  });
};

/** k habit cells (cutter x item): the share of them among the k cells with the largest effect on any told outcome. */
const topK = (habitBy: ReadonlyMap<string, SimCutter['habit']>, cells: readonly Cell[]): Figure => {
  const byCell = new Map<string, { size: number; isHabit: boolean }>();
  for (const { row } of cells) {
    const key = `${row.id} ${row.item}`;
    const size = Math.max(Math.abs(row.effect), byCell.get(key)?.size ?? 0);
    byCell.set(key, { size, isHabit: habitBy.get(row.id)?.items.includes(row.item) === true });
  }
  const k = [...byCell.values()].filter(({ isHabit }) => isHabit).length;
  const top = [...byCell.values()].sort((a, b) => b.size - a.size).slice(0, k);
  return share(top, ({ isHabit }) => isHabit);
};

/** Gaps in the sum rules of every id: classes add to 0, saleable is main + other + lean, value is price x class. */
const closures = (modeled: ModeledNight): number[] => {
  const byId = new Map<string, Partial<Record<Outcome, number>>>();
  for (const row of modeled.effects) {
    const key = `${row.kind} ${row.id} ${row.store} ${row.item}`;
    byId.set(key, { ...byId.get(key), [row.outcome]: row.effect });
  }
  return [...byId.values()].flatMap((effects) => {
    const of = (outcome: Outcome): number => effects[outcome] ?? 0;
    const classes = classNames.reduce((sum, name) => sum + of(name), 0);
    const value = classNames.reduce((sum, name) => sum + ((of(name) / 100) * pricesPerLb[name]) / kgPerLb, 0);
    return [
      Math.abs(classes),
      Math.abs(of('saleable') - of('main_cut') - of('other_cut') - of('lean_trim')),
      Math.abs(of('value') - value),
    ];
  });
};

/** How much more a store is overrated for each 1.0 more of Select; 0 = grade and store are told apart. */
const selectSlope = (sim: SimChain, stores: readonly Cell[]): Figure => {
  const shareOf = new Map(sim.stores.map((store) => [store.store, store.selectShare]));
  const own = stores.filter(({ row }) => row.outcome === 'saleable');
  const x = own.map(({ row }) => shareOf.get(row.id) as number);
  const mean = x.reduce((sum, value) => sum + value, 0) / x.length;
  let [up, down] = [0, 0];
  for (const [i, cell] of own.entries()) {
    up += ((x[i] as number) - mean) * errorOf(cell);
    down += ((x[i] as number) - mean) ** 2;
  }
  return rate(up / down, 1);
};

/** Error of the shape of the published curves of Choice over weight, each item's mean taken out; points. */
const curveError = (sim: SimChain, modeled: ModeledNight): Figure => {
  const errors = sim.items.flatMap(({ item, typicalLb }) => {
    const rows = modeled.curves.filter((row) => row.item === item && row.grade === 'Choice');
    const gaps = rows.map(
      (row) => 100 * row.saleable - sim.settings.curve((row.weightKg / kgPerLb / typicalLb - 0.8) / 0.4),
    );
    const mean = gaps.reduce((sum, gap) => sum + gap, 0) / gaps.length;
    return gaps.map((gap) => gap - mean);
  });
  return rootMeanSquare(errors, (gap) => gap);
};

/** Chance beyond the threshold less what happened, by tenths of the chance. */
const calibration = (cells: readonly Cell[]): Figures =>
  Object.fromEntries(
    Array.from({ length: 10 }, (_, tenth) => {
      const own = cells.filter(({ row }) => Math.min(9, Math.floor(row.chanceBeyond * 10)) === tenth);
      const name = `chance less seen, ${(tenth / 10).toFixed(1)}-${((tenth + 1) / 10).toFixed(1)}`;
      return [name, meanOf(own, (cell) => cell.row.chanceBeyond - (isBeyond(cell) ? 1 : 0))];
    }),
  );

/** Cutters flagged by the model, though not truly beyond it, on an item where the whole room has the habit or alone in a store. */
const singledOut = (sim: SimChain, cells: readonly Cell[]): Figures => {
  const cutters = new Map(sim.cutters.map((cutter) => [cutter.cutter, cutter]));
  const flagged = new Set(
    cells.filter((cell) => isFlagged(cell) && !isBeyond(cell)).map(({ row }) => `${row.id} ${row.item}`),
  );
  const all = cells.filter(({ row }) => row.outcome === 'saleable');
  const keyOf = ({ row }: Cell): string => `${row.id} ${row.item}`;
  const inRooms = all.filter(({ row }) => cutters.get(row.id)?.home.room?.item === row.item);
  const alone = all.filter(({ row }) => cutters.get(row.id)?.home.isLone === true);
  return {
    'flagged wrongly in room-habit rooms': share(inRooms, (cell) => flagged.has(keyOf(cell))),
    'flagged wrongly alone in a store': share(alone, (cell) => flagged.has(keyOf(cell))),
  };
};
