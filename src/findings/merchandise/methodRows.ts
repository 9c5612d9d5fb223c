import type { Chain } from '../../catalog/chain.ts';
import type { MeasuredOutput, MeasuredTest } from '../../measure/measured.ts';
import { breakEvenPrice } from '../../money/breakEvenPrice.ts';
import { demandShare } from '../../money/demandShare.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { ratioEstimate } from '../../tables/ratioEstimate.ts';
import { kilogramsPer } from '../../units/weight.ts';
import { type AdjustedMeans, adjustedMeans, gapVariance } from './adjustedMeans.ts';
import type { MethodRow } from './decisionRows.ts';
import type { MethodGroup } from './methodGroup.ts';

/** Chain settings and the weekly volume of an item, kg billed (NaN = not known). */
export type MethodSetting = { chain: Chain; volumeOf: (item: string) => number };

/** Money of the ways of one group at the same grade and weight, per billed kg and per labor hour. */
type Worths = {
  value: AdjustedMeans;
  labor: AdjustedMeans;
  after: AdjustedMeans;
  hours: AdjustedMeans;
  saleable: AdjustedMeans;
  mainCut: AdjustedMeans;
  minutes: AdjustedMeans;
  costPerBilledKg: number;
};

/**
 * Every way of cutting against every other of its item and spec: margin per billed kg at the regular list after labor
 * (before it where minutes are not known), adjusted for grade and piece weight and, where people cut both ways, for who
 * cut; the 95 % interval of the gap; per labor hour; and for each cut of the way the price at which it would earn the same.
 */
export const methodRows = (group: MethodGroup, setting: MethodSetting): MethodRow[] => {
  const worths = worthsOf(group);
  return group.methods.flatMap((_, own) =>
    group.methods.flatMap((_other, other) =>
      own === other ? [] : pairRows(group, worths, { own, other }, setting),
    ),
  );
};

/** Value after labor per billed kg of each test, at the regular list; before labor where it is not known. */
export const worthOf = (test: MeasuredTest, isLaborKnown: boolean): number =>
  (test.valuePerKg * test.drainedKg - (isLaborKnown ? test.laborCost : 0)) / test.billedFilledKg;

const worthsOf = ({ tests, design, isLaborKnown, areMinutesKnown }: MethodGroup): Worths => {
  const of = (y: (test: MeasuredTest) => number): AdjustedMeans => adjustedMeans(design, tests.map(y));
  const orZero = (value: number): number => (isLaborKnown ? value : 0);
  return {
    value: of((test) => (test.valuePerKg * test.drainedKg) / test.billedFilledKg),
    labor: of((test) => orZero(test.laborCost) / test.billedFilledKg),
    after: of((test) => worthOf(test, isLaborKnown)),
    hours: of((test) => orZero(test.minutes) / 60 / test.billedFilledKg),
    saleable: of((test) => test.saleableYield),
    mainCut: of((test) => test.mainCutYield),
    minutes: of((test) => (areMinutesKnown ? test.minutes : 0)),
    costPerBilledKg: ratioEstimate(
      tests.map((test) => test.purchaseCost),
      tests.map((test) => test.billedFilledKg),
    ).value,
  };
};

type Pair = { own: number; other: number };

const pairRows = (group: MethodGroup, worths: Worths, pair: Pair, setting: MethodSetting): MethodRow[] => {
  const about = pairAbout(group, worths, pair, setting);
  // both ways cut the same piece: its cost falls out of the break-even price
  const money = (k: number) => ({
    marginPerBilledKg: worths.value.means[k] as number,
    laborPerBilledKg: worths.labor.means[k] as number,
  });
  return cutsOf(group, pair.own).map((cut): MethodRow => {
    const even = breakEvenPrice(money(pair.other), money(pair.own), cut);
    return {
      ...about,
      output: cut.output,
      pricePerKg: cut.pricePerKg,
      breakEvenPerKg: even.withoutLabor,
      breakEvenWithLaborPerKg: group.isLaborKnown ? even.withLabor : Number.NaN,
    };
  });
};

type CutPrice = 'output' | 'pricePerKg' | 'breakEvenPerKg' | 'breakEvenWithLaborPerKg';

const pairAbout = (
  group: MethodGroup,
  worths: Worths,
  { own, other }: Pair,
  { chain, volumeOf }: MethodSetting,
): Omit<MethodRow, CutPrice> => {
  const { after } = worths;
  const gap = (after.means[own] as number) - (after.means[other] as number);
  const reach = z975 * Math.sqrt(gapVariance(after, own, other));
  const tests = group.tests.filter((_, i) => group.design.group[i] === own);
  const method = group.methods[own] as string;
  return {
    item: group.item,
    spec: group.spec,
    method,
    otherMethod: group.methods[other] as string,
    tests: tests.length,
    saleableYield: worths.saleable.means[own] as number,
    mainCutYield: worths.mainCut.means[own] as number,
    valuePerBilledKg: worths.value.means[own] as number,
    marginPerBilledKg: (after.means[own] as number) - worths.costPerBilledKg,
    marginReach: z975 * Math.sqrt(variance(after, own)),
    gapPerBilledKg: gap,
    low: gap - reach,
    high: gap + reach,
    minutes: group.areMinutesKnown ? (worths.minutes.means[own] as number) : Number.NaN,
    ...perHour(group, worths, own),
    demandShare: demandOf(tests, { chain, volumeOf, item: group.item, method }),
    isLaborKnown: group.isLaborKnown,
    laborMissing: group.laborMissing,
    adjustedFor: group.adjustedFor.join(', '),
    warning: [group.warning, pieceWarning(group, own, other)].filter((text) => text !== '').join(' '),
  };
};

const variance = ({ means, covariance }: AdjustedMeans, k: number): number =>
  Math.max(0, covariance[k * means.length + k] as number);

/** Margin after labor per hands-on hour with its interval, linearized around the ratio. */
const perHour = (
  { tests, design, isLaborKnown }: MethodGroup,
  { after, hours, costPerBilledKg }: Worths,
  k: number,
): Pick<MethodRow, 'marginPerHour' | 'hourLow' | 'hourHigh'> => {
  const perBilled = hours.means[k] as number;
  if (!isLaborKnown || !(perBilled > 0))
    return { marginPerHour: Number.NaN, hourLow: Number.NaN, hourHigh: Number.NaN };
  const ratio = ((after.means[k] as number) - costPerBilledKg) / perBilled;
  const off = adjustedMeans(
    design,
    tests.map((test) => worthOf(test, true) - (ratio * test.minutes) / 60 / test.billedFilledKg),
  );
  const reach = (z975 * Math.sqrt(variance(off, k))) / perBilled;
  return { marginPerHour: ratio, hourLow: ratio - reach, hourHigh: ratio + reach };
};

type Cut = { output: string; pricePerKg: number; outputOfBilled: number };

/** Cuts of a way with their mean regular price and kg per billed kg. */
const cutsOf = ({ tests, design, linesOf }: MethodGroup, k: number): Cut[] => {
  const own = tests.filter((_, i) => design.group[i] === k);
  const billed = own.reduce((sum, test) => sum + test.billedFilledKg, 0);
  const cuts = new Map<string, { kg: number; money: number }>();
  for (const line of own.flatMap((test) => linesOf.get(`${test.store}\u0000${test.testId}`) ?? [])) {
    if (!isCut(line)) continue;
    const sum = cuts.get(line.output) ?? { kg: 0, money: 0 };
    cuts.set(line.output, {
      kg: sum.kg + line.outputKg,
      money: sum.money + line.outputKg * line.regularPricePerKg,
    });
  }
  return [...cuts.keys()].sort().map((output) => {
    const { kg, money } = cuts.get(output) as { kg: number; money: number };
    return { output, pricePerKg: money / kg, outputOfBilled: kg / billed };
  });
};

const isCut = (line: MeasuredOutput): boolean =>
  line.outputClass.endsWith('cut') && line.outputKg > 0 && line.regularPricePerKg > 0;

const demandOf = (
  tests: readonly MeasuredTest[],
  about: MethodSetting & { item: string; method: string },
): number => {
  const { chain, item, method } = about;
  const entry = chain.methods.find((one) => one.item === item && one.method === method);
  const demandKg = (entry?.demand_per_week ?? Number.NaN) * kilogramsPer(chain.unit);
  const main = ratioEstimate(
    tests.map((test) => test.mainCutKg),
    tests.map((test) => test.billedFilledKg),
  );
  return demandShare(demandKg, about.volumeOf(item), main.value);
};

/** Says so when one way was cut on clearly heavier pieces: adjusted for, but chosen. */
const pieceWarning = (
  { design, weightOff, meanPieceKg }: MethodGroup,
  own: number,
  other: number,
): string => {
  const weights = adjustedMeans({ ...design, covariates: [] }, weightOff);
  const gap = (weights.means[own] as number) - (weights.means[other] as number);
  const isChosen =
    Math.abs(gap) > 2 * Math.sqrt(gapVariance(weights, own, other)) && Math.abs(gap) > 0.02 * meanPieceKg;
  if (!isChosen) return '';
  return `${gap > 0 ? 'Heavier' : 'Lighter'} pieces were picked for it; weight is held equal, what else differs in them is not.`;
};
