import type { Chain, OutputClass } from '../catalog/chain.ts';
import { weightClassOf } from '../catalog/weightClassOf.ts';
import { costBySalesValue, costByWeight } from '../money/jointCost.ts';
import { massBalance } from '../money/massBalance.ts';
import type { PriceList } from '../money/priceList.ts';
import { type PricedLine, testMoney } from '../money/testMoney.ts';
import type { NormalizedOutput, NormalizedTest } from '../normalize/normalized.ts';
import type { ScreenColumns } from '../screen/screened.ts';
import { kilogramsPer } from '../units/weight.ts';
import type { MeasuredOutput, MeasuredTest } from './measured.ts';

type Setting = {
  chain: Chain;
  prices: PriceList;
  region: string;
  asOfDay: number;
};
type Line = PricedLine & {
  output: NormalizedOutput;
  outputClass: string;
  regularPricePerKg: number;
};

const ratio = (part: number, whole: number): number => (whole > 0 ? part / whole : Number.NaN);

/** What measuring adds to a test's columns and to those of its lines. */
export type TestFormulas = Omit<MeasuredTest, keyof NormalizedTest | keyof ScreenColumns>;
export type LineFormulas = Omit<MeasuredOutput, keyof NormalizedOutput> & { outputClass: string };

/** Every formula for one test and its lines; see money/ for each. Yields NaN where drained is unknown. */
export const measureTest = (
  test: NormalizedTest & ScreenColumns,
  outputs: readonly NormalizedOutput[],
  setting: Setting,
): { test: TestFormulas; outputs: LineFormulas[] } => {
  const lines = pricedLines(test, outputs, setting);
  const balance = massBalance({
    ...test,
    outputsKg: outputs.map((line) => line.outputKg),
  });
  const bought = {
    billedKg: balance.billedKg,
    unitCostPerKg: test.unitCostPerKg,
  };
  const money = testMoney(lines, bought, {
    minutes: test.minutes,
    perHour: setting.chain.labor_per_hour,
  });
  const unpriced = lines
    .filter((line) => line.kg > 0 && line.isSaleable && Number.isNaN(line.pricePerKg))
    .map((line) => line.output.output);
  // drained, so that the same piece falls into the same class however it was weighed
  const meanPieceKg = (Number.isNaN(balance.drainedKg) ? test.receivedKg : balance.drainedKg) / test.piecesIn;
  return {
    test: {
      region: setting.region,
      weightClass: weightClassOf(setting.chain, test, meanPieceKg / kilogramsPer(setting.chain.unit)),
      meanPieceKg,
      drainedKg: balance.drainedKg,
      purgeFilledKg: balance.purgeKg,
      billedFilledKg: balance.billedKg,
      shortKg: balance.shortKg,
      unaccountedKg: balance.unaccountedKg,
      ...yields(lines, balance),
      valuePerKg: ratio(
        lines.reduce((sum, line) => sum + valueAtRegular(line), 0),
        balance.drainedKg,
      ),
      ...money,
      unpriced: unpriced.join(';'),
    },
    outputs: measuredLines(lines, balance, money.purchaseCost),
  };
};

const pricedLines = (
  test: NormalizedTest,
  outputs: readonly NormalizedOutput[],
  { chain, prices, region, asOfDay }: Setting,
): Line[] => {
  const main = new Set(
    chain.methods.find((entry) => entry.method === test.method && entry.item === test.item)?.main ?? [],
  );
  return outputs.map((output) => {
    const entry = chain.outputs.find((known) => known.output === output.output);
    const ownClass = entry?.class ?? 'waste';
    const outputClass: OutputClass = main.has(output.output)
      ? 'main cut'
      : ownClass === 'main cut'
        ? 'other cut'
        : ownClass;
    const isCut = outputClass === 'main cut' || outputClass === 'other cut';
    const isCountedTrim =
      outputClass === 'lean trim' && !((entry?.lean_point ?? Number.NaN) < chain.lean_trim_floor);
    const question = {
      output: output.output,
      item: test.item,
      grade: test.grade,
      region,
      day: test.cutDay,
    };
    return {
      output,
      outputClass,
      kg: output.outputKg,
      isMain: outputClass === 'main cut',
      isSaleable: isCut || isCountedTrim,
      pricePerKg: prices.inForce(question),
      regularPricePerKg: prices.regular({ ...question, day: asOfDay }),
    };
  });
};

const valueAtRegular = (line: Line): number =>
  line.kg > 0 && line.regularPricePerKg > 0 ? line.kg * line.regularPricePerKg : 0;

const yields = (lines: readonly Line[], balance: ReturnType<typeof massBalance>) => {
  const kgOf = (chosen: (line: Line) => boolean): number =>
    lines.reduce((sum, line) => (chosen(line) && line.kg > 0 ? sum + line.kg : sum), 0);
  const ofClass = (name: OutputClass): number =>
    ratio(
      kgOf((line) => line.outputClass === name),
      balance.drainedKg,
    );
  const saleableKg = kgOf((line) => line.isSaleable);
  const mainCutKg = kgOf((line) => line.isMain);
  return {
    saleableKg,
    mainCutKg,
    saleableYield: ratio(saleableKg, balance.drainedKg),
    mainCutYield: ofClass('main cut'),
    otherCutYield: ofClass('other cut'),
    leanTrimYield: ofClass('lean trim'),
    fatYield: ofClass('fat'),
    boneYield: ofClass('bone'),
    wasteYield: ofClass('waste'),
    unaccountedYield: ratio(balance.unaccountedKg, balance.drainedKg),
    saleableOfBilled: ratio(saleableKg, balance.billedKg),
    purgeOfBilled: ratio(balance.purgeKg, balance.billedKg),
    unaccountedOfBilled: ratio(balance.unaccountedKg, balance.billedKg),
  };
};

const measuredLines = (
  lines: readonly Line[],
  balance: ReturnType<typeof massBalance>,
  purchaseCost: number,
): LineFormulas[] => {
  const kg = lines.map((line) => line.kg);
  const bySalesValue = costBySalesValue(
    kg,
    lines.map((line) => line.pricePerKg),
    purchaseCost,
  );
  const byWeight = costByWeight(kg, purchaseCost);
  return lines.map((line, i) => ({
    outputClass: line.outputClass,
    outputYield: ratio(line.kg, balance.drainedKg),
    ofBilled: ratio(line.kg, balance.billedKg),
    pricePerKg: line.pricePerKg,
    regularPricePerKg: line.regularPricePerKg,
    salesValue: line.kg * line.pricePerKg,
    costBySalesValue: bySalesValue[i] as number,
    costByWeight: byWeight[i] as number,
  }));
};
