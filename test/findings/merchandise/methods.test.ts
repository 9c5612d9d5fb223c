import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { adjustedMeans, gapVariance } from '../../../src/findings/merchandise/adjustedMeans.ts';
import { methodByWeight } from '../../../src/findings/merchandise/methodByWeight.ts';
import { methodGroups } from '../../../src/findings/merchandise/methodGroup.ts';
import { methodOutputs } from '../../../src/findings/merchandise/methodOutputs.ts';
import { methodRows } from '../../../src/findings/merchandise/methodRows.ts';
import type { MeasuredOutput, MeasuredTest } from '../../../src/measure/measured.ts';
import { costBySalesValue, costByWeight } from '../../../src/money/jointCost.ts';
import { boughtSettings, boughtTest } from '../buying/boughtChain.ts';

const chain = {
  ...boughtSettings,
  target_margin: 30,
  methods: [
    { method: 'ordinary', item: 'rib', demand_per_week: Number.NaN },
    { method: 'cap and eye', item: 'rib', demand_per_week: 68 },
  ],
} as unknown as typeof boughtSettings;

type Line = readonly [output: string, outputClass: string, kg: number, price: number];
// Domain facts E12 (constructed): billed 14.00 at 11.00, unwrapped 13.86, labor 24.00 an hour; unit kg here
const e12: Record<string, { minutes: number; lines: Line[] }> = {
  ordinary: {
    minutes: 6,
    lines: [
      ['steaks', 'main cut', 11.9, 15.99],
      ['lean', 'lean trim', 0.7, 4.99],
      ['fat', 'fat', 1.12, 0],
    ],
  },
  'cap and eye': {
    minutes: 14,
    lines: [
      ['eye', 'main cut', 6.8, 17.99],
      ['cap', 'other cut', 2.3, 22.99],
      ['lip lean', 'lean trim', 2.2, 5.99],
      ['fat', 'fat', 2.3, 0],
    ],
  },
};
const cut = (method: string, i: number, over: Partial<MeasuredTest> = {}) => {
  const { minutes, lines } = e12[method] as (typeof e12)[string];
  const sales = lines.reduce((sum, [, , kg, price]) => sum + kg * price, 0);
  const sold = lines.filter(([, , , price]) => price > 0);
  const kgOf = (list: readonly Line[]): number => list.reduce((sum, line) => sum + line[2], 0);
  const main = lines.filter(([, outputClass]) => outputClass === 'main cut');
  const test = boughtTest({
    testId: `${method}${i}`,
    cutter: `c${i % 6}`,
    method,
    billedKg: 14,
    drainedKg: 13.86,
    meanPieceKg: 13.86,
    minutes,
    laborCost: (minutes / 60) * 24,
    purchaseCost: 154,
    valuePerKg: sales / 13.86,
    saleableYield: kgOf(sold) / 13.86,
    mainCutYield: kgOf(main) / 13.86,
    mainCutKg: kgOf(main),
    residualCost:
      154 -
      lines.filter((line) => !main.includes(line)).reduce((sum, [, , kg, price]) => sum + kg * price, 0),
    ...over,
  });
  const kg = lines.map((line) => line[2]);
  const bySales = costBySalesValue(
    kg,
    lines.map((line) => line[3]),
    154,
  );
  const byWeight = costByWeight(kg, 154);
  const outputs = lines.map(
    ([output, outputClass, outputKg, price], k) =>
      ({
        store: test.store,
        testId: test.testId,
        output,
        outputClass,
        outputKg,
        pricePerKg: price,
        regularPricePerKg: price,
        salesValue: outputKg * price,
        costBySalesValue: bySales[k],
        costByWeight: byWeight[k],
      }) as MeasuredOutput,
  );
  return { test, outputs };
};
const cuts = [
  ...Array.from({ length: 12 }, (_, i) => cut('ordinary', i)),
  ...Array.from({ length: 12 }, (_, i) => cut('cap and eye', i)),
];
const used = cuts.map(({ test }) => test);
const outputs = cuts.flatMap((one) => one.outputs);
const setting = { chain, volumeOf: () => 700 };

describe('ways of cutting', () => {
  it('gives the break-even cap price of E12 (domain facts, constructed) without and with labor', () => {
    const { groups, unanswered } = methodGroups(used, outputs, chain);
    expect(unanswered).toEqual([]);
    const rows = groups.flatMap((group) => methodRows(group, setting));
    const cap = rows.find((row) => row.method === 'cap and eye' && row.output === 'cap');
    expect(cap?.breakEvenPerKg).toBeCloseTo(25.3322, 4);
    expect(cap?.breakEvenWithLaborPerKg).toBeCloseTo(26.7235, 4);
    expect(cap?.marginPerBilledKg).toBeCloseTo((34.387 - 5.6) / 14, 9);
    expect(cap?.gapPerBilledKg).toBeCloseTo((188.387 - 193.774 - 3.2) / 14, 9);
    expect(cap?.high).toBeCloseTo(cap?.low as number, 6);
    expect(cap?.marginPerHour).toBeCloseTo((34.387 - 5.6) / (14 / 60), 6);
    // 68 kg of eye sell a week; all 700 kg billed would give 340
    expect(cap?.demandShare).toBeCloseTo(0.2, 9);
    expect(cap?.adjustedFor).toBe('grade, piece weight, who cut');
    expect(rows.find((row) => row.method === 'ordinary')?.demandShare).toBeNaN();
  });

  it('shares joint cost as E12 prints it: adds to cost, equal margins by sales value, nothing for what sells for nothing', () => {
    const rows = methodOutputs(used, outputs, chain).filter((row) => row.method === 'cap and eye');
    const of = (output: string) => rows.find((row) => row.output === output);
    expect(of('eye')?.costBySalesValuePerKg).toBeCloseTo(14.7062, 3);
    expect(of('cap')?.costBySalesValuePerKg).toBeCloseTo(18.7935, 3);
    expect(of('lip lean')?.costBySalesValuePerKg).toBeCloseTo(4.8966, 3);
    expect(of('fat')?.costBySalesValuePerKg).toBe(0);
    expect(of('eye')?.residualCostPerKg).toBeCloseTo(12.9331, 4);
    expect(of('cap')?.residualCostPerKg).toBeNaN();
    for (const output of ['eye', 'cap', 'lip lean']) expect(of(output)?.margin).toBeCloseTo(0.18253, 5);
    expect(of('cap')?.priceAtTargetMargin).toBeCloseTo(18.7935 / 0.7, 3);
    const total = rows.reduce((sum, row) => sum + row.costBySalesValuePerKg * row.ofBilled * 14, 0);
    expect(total).toBeCloseTo(154, 9);
    expect(rows.reduce((sum, row) => sum + row.costByWeightPerKg * row.ofBilled * 14, 0)).toBeCloseTo(154, 9);
  });

  it('shares one cost over all tests of a way, however their prices differ, and names what has no price or cost', () => {
    const mixed = outputs.map((line, i) =>
      i % 3 === 0 ? { ...line, salesValue: 1.2 * line.salesValue } : line,
    );
    const own = methodOutputs(used, mixed, chain).filter((row) => row.method === 'cap and eye');
    const sold = own.filter((row) => row.pricePerKg > 0);
    for (const row of sold) expect(row.margin).toBeCloseTo(sold[0]?.margin as number, 12);
    expect(own.reduce((sum, row) => sum + row.costBySalesValuePerKg * row.ofBilled * 14, 0)).toBeCloseTo(
      154,
      9,
    );
    const without = used.map((test) => ({ ...test, unpriced: 'cap;eye' }));
    expect([...new Set(methodOutputs(without, outputs, chain).map((row) => row.missing))]).toEqual([
      'no price in force for cap, eye',
    ]);
    const free = used.map((test) => ({ ...test, purchaseCost: Number.NaN }));
    const [first] = methodOutputs(free, outputs, chain);
    expect(first?.missing).toBe('no sheet tells what the piece cost');
    expect(first?.costByWeightPerKg).toBeNaN();
  });

  it('says what is missing where a way has no price or too few tests', () => {
    const unpriced = outputs.map((line) =>
      line.output === 'cap' ? { ...line, regularPricePerKg: Number.NaN } : line,
    );
    const found = methodGroups(used, unpriced, chain);
    expect(found.groups).toEqual([]);
    expect(found.unanswered).toEqual([
      {
        item: 'rib',
        spec: '',
        method: 'cap and eye',
        tests: 0,
        missing: 'no regular price in force for cap',
      },
    ]);
    const few = methodGroups(used.slice(0, 15), outputs, chain);
    expect(few.unanswered[0]?.missing).toBe('3 tests; 8 are needed');
  });

  it('warns where few people cut both ways, and where pieces were picked by weight', () => {
    const split = cuts.map(({ test }) => ({
      ...test,
      cutter: `${test.method}${test.cutter}`,
      meanPieceKg: test.method === 'ordinary' ? 13 : 15,
    }));
    const [group] = methodGroups(split, outputs, chain).groups;
    const [row] = methodRows(group as NonNullable<typeof group>, setting);
    expect(row?.adjustedFor).toBe('grade, piece weight');
    expect(row?.warning).toContain('few cut both ways');
    expect(row?.warning).toContain('Heavier pieces were picked');
  });

  it('compares before labor, and says so, where minutes are not sent', () => {
    const untimed = used.map((test) => ({ ...test, minutes: Number.NaN, laborCost: Number.NaN }));
    const [group] = methodGroups(untimed, outputs, chain).groups;
    const [row] = methodRows(group as NonNullable<typeof group>, setting);
    expect([row?.isLaborKnown, row?.laborMissing]).toEqual([false, 'minutes not known']);
    expect(row?.minutes).toBeNaN();
    expect(row?.gapPerBilledKg).toBeCloseTo((188.387 - 193.774) / 14, 9);
    expect(row?.breakEvenWithLaborPerKg).toBeNaN();
    expect(row?.marginPerHour).toBeNaN();
  });

  it('compares before labor where minutes are sent and the chain has no labor rate', () => {
    const unpaid = used.map((test) => ({ ...test, laborCost: Number.NaN }));
    const [group] = methodGroups(unpaid, outputs, chain).groups;
    const [row] = methodRows(group as NonNullable<typeof group>, setting);
    expect([row?.isLaborKnown, row?.laborMissing]).toEqual([false, 'labor rate not known']);
    expect(Object.values(e12).map((way) => way.minutes)).toContain(Math.round(row?.minutes as number));
    expect(row?.gapPerBilledKg).toBeCloseTo((188.387 - 193.774) / 14, 9);
  });

  it('shows the gap by weight range, and where a range has too few', () => {
    const ranged = used.map((test, i) => ({ ...test, weightClass: i % 12 < 9 ? 'mid' : 'light' }));
    const [group] = methodGroups(ranged, outputs, chain).groups;
    const rows = methodByWeight(group as NonNullable<typeof group>, chain);
    const mid = rows.find((row) => row.weightClass === 'mid');
    expect(mid?.gapPerBilledKg).toBeCloseTo(Math.sign(mid?.method === 'ordinary' ? 1 : -1) * (8.587 / 14), 9);
    expect(rows.find((row) => row.weightClass === 'light')?.missing).toBe(
      '3 tests of one way in this range; 8 are needed',
    );
  });
});

describe('adjusted means', () => {
  it('take out a covariate and the people', () => {
    const group = [0, 0, 1, 1, 0, 1];
    const weight = [1, 2, 3, 4, 5, 6];
    const person = [0, 1, 0, 1, 0, 1];
    const level = [10, -10];
    const y = group.map(
      (code, i) => 2 * code + 0.5 * (weight[i] as number) + (level[person[i] as number] as number),
    );
    const found = adjustedMeans(
      { group, count: 2, covariates: [weight], within: person, clusters: [0, 1, 2, 3, 4, 5] },
      y,
    );
    expect((found.means[1] as number) - (found.means[0] as number)).toBeCloseTo(2, 9);
    expect(gapVariance(found, 1, 0)).toBeCloseTo(0, 9);
  });
  it('keep the grand mean and do not mind the order of tests', () => {
    const value = fc.double({ min: -5, max: 5, noNaN: true });
    fc.assert(
      fc.property(fc.array(value, { minLength: 8, maxLength: 8 }), (y) => {
        const group = [0, 1, 0, 1, 0, 1, 1, 1];
        const design = { count: 2, covariates: [], within: undefined };
        const found = adjustedMeans({ ...design, group, clusters: group.map((_, i) => i) }, y);
        const mean = y.reduce((sum, one) => sum + one, 0) / 8;
        expect((found.means[0] as number) * (3 / 8) + (found.means[1] as number) * (5 / 8)).toBeCloseTo(
          mean,
          9,
        );
        const back = adjustedMeans(
          { ...design, group: [...group].reverse(), clusters: group.map((_, i) => i) },
          [...y].reverse(),
        );
        expect(back.means[1]).toBeCloseTo(found.means[1] as number, 9);
      }),
    );
  });
});
