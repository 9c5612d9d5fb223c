import { codesOf } from '../tables/columns.ts';
import { kilogramsPer } from '../units/weight.ts';
import { type KeyingError, keyingErrors } from './keyingErrors.ts';
import { type PieceSize, pieceKgOf } from './pieceSize.ts';
import type { ReviewFacts } from './reviewFacts.ts';
import { type SheetSlip, switchedScales } from './switchedScales.ts';

/** How a store writes weights, for one of its tests. */
export type UnitUse = {
  /** How often the store means this unit for each time it means the one written; a little more, as scales can be switched. */
  likelier: (unit: string) => number;
  /** The store writes other tests in this unit too. */
  isSeen: (unit: string) => boolean;
  /** Written in a unit that the store's other tests are seldom in. */
  isOdd: boolean;
};

/** Stores write in one unit: what is expected of others is worth a third of a test; our choice, no source. */
const mixing = 0.3;
const most = 1000;
const oddFrom = 5;
const fewestSeen = 2;
const leastSeen = 0.02;

/**
 * Units by store, each test held against the others of its store: the one sheet in kg of a store that writes lb was probably
 * meant in lb, and surely where its cost is then the usual one; a sheet in lb where nobody ever writes kg hardly in kg. Stores with
 * few tests are taken to write as the chain. A sheet counts for its unit as far as its piece is of the usual size in it. A scale can
 * be switched where nobody ever writes the other unit: how often is estimated from the night (`switchedScales`).
 */
export const unitUse = (
  facts: ReviewFacts,
  { sizes, usualCost: costs }: { sizes: readonly PieceSize[]; usualCost: Float64Array },
): ((i: number) => UnitUse) => {
  const units = facts.unit.map(plainUnit);
  const inChain = new Map<string, number>();
  const stores = codesOf(facts.store);
  const inStore = stores.levels.map(() => new Map<string, number>());
  const told = units.map((unit, i) =>
    unitTold(facts, i, { unit, size: sizes[facts.piece.codes[i] as number] }),
  );
  for (const [i, unit] of units.entries()) {
    add(inChain, unit, 1);
    add(inStore[stores.codes[i] as number] as Map<string, number>, unit, told[i] as number);
  }
  const othersOf = (i: number, unit: string): number =>
    ((inStore[stores.codes[i] as number] as Map<string, number>).get(unit) ?? 0) -
    (unit === units[i] ? (told[i] as number) : 0);
  const weightOf = (i: number, unit: string): number =>
    othersOf(i, unit) + (mixing * ((inChain.get(unit) ?? 0) + 1)) / (facts.n + 1);
  /** How often the store means this unit for each time it means the one written, by its other sheets and by the cost. */
  const habit = (i: number, unit: string): number => {
    const own = units[i] as string;
    const relativeCost =
      (facts.unitCostPerKg[i] as number) / (costs[facts.piece.codes[i] as number] as number);
    const odds = inChain.has(unit) ? costOdds(relativeCost, kilogramsPer(own) / kilogramsPer(unit)) : 1;
    return Math.min(most, weightOf(i, unit) / weightOf(i, own)) * odds;
  };
  const switched = switchedScales(sheetSlips(facts, { sizes, units, habit }));
  return (i) => {
    const own = units[i] as string;
    const store = inStore[stores.codes[i] as number] as Map<string, number>;
    const rest = [...store.keys()].reduce((sum, unit) => sum + (unit === own ? 0 : othersOf(i, unit)), 0);
    return {
      likelier: (unit) => switched(keyOf(own, unit)) + habit(i, unit),
      isSeen: (unit) => othersOf(i, unit) >= Math.max(fewestSeen, leastSeen * (rest + othersOf(i, own))),
      isOdd: rest > oddFrom * weightOf(i, own),
    };
  };
};

const keyOf = (own: string, unit: string): string => `${own} as ${unit}`;

/** What may be wrong with the weights of each sheet as a whole, where the sheet adds up: else what came in is in doubt. */
const sheetSlips = (
  facts: ReviewFacts,
  {
    sizes,
    units,
    habit,
  }: {
    sizes: readonly PieceSize[];
    units: readonly string[];
    habit: (i: number, unit: string) => number;
  },
): SheetSlip[][] => {
  const errorsOf = new Map<string, KeyingError[]>();
  for (const unit of new Set(units))
    errorsOf.set(
      unit,
      keyingErrors(unit, 0).filter(({ cause }) => cause === 'test-unit' || cause === 'test-decimal'),
    );
  return units.flatMap((own, i) => {
    const size = sizes[facts.piece.codes[i] as number];
    const pieceKg = pieceKgOf(facts, i);
    const isBalanced = facts.state[i] === 'used' || facts.reasons[i] === 'weight-out-of-range';
    if (!isBalanced || size === undefined || !(pieceKg > 0)) return [];
    const asSent = size.logDensity(pieceKg);
    return [
      (errorsOf.get(own) as KeyingError[]).map(({ unit, logPrior, received }) => ({
        key: unit === '' ? '' : keyOf(own, unit),
        prior: Math.exp(logPrior),
        habit: unit === '' ? 0 : habit(i, unit),
        sizeOdds: Math.exp(size.logDensity(pieceKg * received) - asSent),
      })),
    ];
  });
};

const plainUnit = (unit: string): string => (unit === 'lb-oz' ? 'lb' : unit);

const add = (counts: Map<string, number>, key: string, value: number): void => {
  counts.set(key, (counts.get(key) ?? 0) + value);
};

/** Chance that the unit is the one written, by the size of the piece alone and against lb or kg. */
const unitTold = (
  facts: ReviewFacts,
  i: number,
  { unit, size }: { unit: string; size: PieceSize | undefined },
): number => {
  const pieceKg = pieceKgOf(facts, i);
  if (size === undefined || !(pieceKg > 0)) return 0.5;
  const other = kilogramsPer(unit === 'kg' ? 'lb' : 'kg') / kilogramsPer(unit);
  return 1 / (1 + Math.exp(size.logDensity(pieceKg * other) - size.logDensity(pieceKg)));
};

const costSpread = 0.25;
const strayCost = 0.05;

/** How much likelier the cost is where it was meant per another unit, `factor` times the one read; costs stray for other reasons. */
const costOdds = (relativeCost: number, factor: number): number => {
  if (!(relativeCost > 0)) return 1;
  const like = (relative: number): number =>
    strayCost + Math.exp(-0.5 * (Math.log(relative) / costSpread) ** 2);
  return like(relativeCost * factor) / like(relativeCost);
};
