import { describe, expect, it } from 'vitest';
import { buying } from '../../../src/findings/buying/buying.ts';
import type { OfferInput } from '../../../src/findings/buying/offerSource.ts';
import type { MeasuredTest } from '../../../src/measure/measured.ts';
import { z975 } from '../../../src/tables/normalDistribution.ts';
import { boughtLine, boughtModel, boughtQuote, boughtSettings, manyTests } from './boughtChain.ts';

const light = { weightClass: 'light', meanPieceKg: 8, drainedKg: 7.84, billedKg: 8, laborCost: 2.4 };
const setting = (used: MeasuredTest[], over: Partial<OfferInput> = {}): OfferInput => ({
  used,
  outputs: used.map((test) => boughtLine(test)),
  modeled: { weightModels: [boughtModel()] },
  chain: boughtSettings,
  ...over,
});
const night = (used: MeasuredTest[], quotes = [boughtQuote()], over: Partial<OfferInput> = {}) =>
  buying(setting(used, over), quotes, 100);

describe('a quote', () => {
  it('is worth what the curve says over the boxes sold, on billed weight (worked by hand, constructed)', () => {
    const [quote] = night(manyTests(10)).quotes;
    // value 12 + 0.3 x 10 = 15 a drained kg, 0.98 of billed: 14.7; saleable 0.9 x 0.98
    expect(quote?.marginPerBilledKg).toBeCloseTo(14.7 - 9, 9);
    expect(quote?.landedPerKg).toBeCloseTo(9 / 0.98, 9);
    expect(quote?.costPerSaleableKg).toBeCloseTo(9 / (0.9 * 0.98), 9);
    expect(quote?.marginAfterLaborPerBilledKg).toBeCloseTo(14.7 - 9 - 0.24, 9);
    expect((quote?.marginHigh as number) - (quote?.marginPerBilledKg as number)).toBeCloseTo(
      1.959964 * 0.98 * Math.sqrt(0.01 + 100 * 0.0001),
      5,
    );
    expect(quote?.chanceBest).toBe(1);
  });

  it('takes off what sells but is not saleable before dividing by saleable', () => {
    const used = manyTests(10);
    const outputs = used.flatMap((test) => [
      boughtLine(test),
      boughtLine(test, { output: 'fat', outputClass: 'fat', outputKg: 0.98, regularPricePerKg: 1 }),
    ]);
    const [quote] = night(used, [boughtQuote()], { outputs }).quotes;
    expect(quote?.costPerSaleableKg).toBeCloseTo((9 - 0.098) / (0.9 * 0.98), 9);
  });

  it('weighs the boxes really sold in the range: as bought where stores say so', () => {
    const used = [
      ...manyTests(10, { boughtClass: 'mid', meanPieceKg: 12, drainedKg: 11.76, billedKg: 12 }, 'a'),
      ...manyTests(30, {}, 'b'),
    ];
    const [quote] = night(used).quotes;
    expect(quote?.marginPerBilledKg).toBeCloseTo(0.98 * (12 + 3.6) - 9, 9);
    expect(quote?.offer.boxes).toBe(10);
  });

  it('reads suppliers, and what they have in common with each other, from the curve; one never seen is doubted', () => {
    const suppliers = ['North', 'South'];
    const value = {
      coefficients: [12, 0.3, 0.5, -0.5],
      // the level is unsure by 0.1, the difference between the two by 0.4
      covariance: [
        [0.01, 0, 0, 0],
        [0, 0.0001, 0, 0],
        [0, 0, 0.04, -0.04],
        [0, 0, -0.04, 0.04],
      ].flat(),
      residualSd: 0.4,
      unseen: 0.25,
    };
    const flat = {
      coefficients: [0.8, 0, 0, 0],
      covariance: new Array(16).fill(0),
      residualSd: 0,
      unseen: 0,
    };
    const model = boughtModel({
      suppliers,
      row: (_, pieceKg, supplier = '') => [
        1,
        pieceKg,
        ...suppliers.map((known) => (known === supplier ? 1 : 0)),
      ],
      outcomes: { value, saleable: flat, main_cut: flat },
    });
    const dry = { billedKg: 9.8 };
    const used = [...manyTests(10, dry), ...manyTests(10, { ...dry, supplier: 'South' }, 's')];
    const quotes = [boughtQuote(), boughtQuote({ supplier: 'South' }), boughtQuote({ supplier: 'New' })];
    const found = night(used, quotes, { modeled: { weightModels: [model] } });
    expect(found.quotes.map((row) => row.supplier)).toEqual(['North', 'New', 'South']);
    const [north, unseen, south] = found.quotes;
    expect(north?.marginPerBilledKg).toBeCloseTo(15.5 - 9, 9);
    expect(south?.marginPerBilledKg).toBeCloseTo(14.5 - 9, 9);
    expect(unseen?.marginPerBilledKg).toBeCloseTo(15 - 9, 9);
    const sdOf = (row: typeof north): number =>
      ((row?.marginHigh as number) - (row?.marginPerBilledKg as number)) / z975;
    expect(sdOf(north)).toBeCloseTo(Math.sqrt(0.01 + 0.01 + 0.04), 9);
    expect(sdOf(unseen)).toBeCloseTo(Math.sqrt(0.01 + 0.01 + 0.25), 9);
    expect(unseen?.assumed).toBe('yield of an average supplier; purge and short weight as for rib');
    const other = found.indifference.find(
      (row) => row.from.supplier === 'North' && row.to.supplier === 'South' && row.to.weightClass === 'mid',
    );
    // (1, -1) over the two suppliers: 0.04 + 0.04 + 2 x 0.04
    expect((other?.sameDollars.high as number) - (other?.sameDollars.price as number)).toBeCloseTo(
      z975 * 0.4,
      9,
    );
  });
});

describe('a chain whose sheets tell neither invoice nor purge', () => {
  it('is answered as if nothing were lost in the bag, and told so', () => {
    const dry = manyTests(20).map((test) => ({
      ...test,
      billedKg: Number.NaN,
      purgeKg: Number.NaN,
      purgeFilledKg: Number.NaN,
      purgeOfBilled: Number.NaN,
      shortKg: Number.NaN,
      billedFilledKg: test.drainedKg,
    }));
    const [quote] = night(dry).quotes;
    expect(quote?.marginPerBilledKg).toBeCloseTo(15 - 9, 9);
    expect(quote?.assumed).toBe('no purge or short weight, as fewer than 8 sheets tell them');
    expect(quote?.purgeShare).toBeNaN();
  });
});

describe('two suppliers at the same quote, 2 % purge apart', () => {
  const used = [
    ...manyTests(20, { supplier: 'North', drainedKg: 9.9 }, 'n'),
    ...manyTests(20, { supplier: 'South', drainedKg: 9.7 }, 's'),
    ...manyTests(10, { ...light, supplier: 'North', drainedKg: 7.92 }, 'l'),
    ...manyTests(10, { ...light, supplier: 'South', drainedKg: 7.76 }, 'm'),
  ];
  const found = night(used, [boughtQuote({ supplier: 'North' }), boughtQuote({ supplier: 'South' })]);

  it('land at different prices and are not worth the same', () => {
    const [north, south] = found.quotes;
    expect([north?.supplier, south?.supplier]).toEqual(['North', 'South']);
    expect(north?.landedPerKg).toBeCloseTo(9 / ((9.9 * 20 + 7.92 * 10) / 280), 9);
    expect(south?.landedPerKg).toBeCloseTo(9 / ((9.7 * 20 + 7.76 * 10) / 280), 9);
    const row = found.indifference.find(
      (one) => one.from.supplier === 'North' && one.to.supplier === 'South',
    );
    expect(row?.sameMargin.price).toBeCloseTo((9 * 0.97) / 0.99, 9);
    expect(row?.sentence).toContain('the mid South is worth up to $8.82');
    // the curve is shared and the purge known: no doubt is left
    expect((row?.sameMargin.high as number) - (row?.sameMargin.low as number)).toBeLessThan(1e-6);
    expect(north?.chanceBest).toBe(1);
  });

  it('offers the ranges that were not quoted, in both forms', () => {
    const row = found.indifference.find(
      (one) => one.from.supplier === 'North' && one.to.weightClass === 'light',
    );
    const [mid, lower] = [0.99 * 15, 0.99 * 14.4];
    expect(row?.sameMargin.price).toBeCloseTo((9 * lower) / mid, 9);
    expect(row?.sameDollars.price).toBeCloseTo(9 + lower - mid - (0.3 - 0.24), 9);
    expect(row?.sameMargin.low).toBeLessThan(row?.sameMargin.price as number);
    expect(row?.priceToPerKg).toBeNaN();
  });

  it('gives the what-if the same figures', () => {
    const [item] = found.whatIf;
    expect(item?.offers.map((offer) => offer.parts.join())).toEqual([
      'light,,G,fresh,North',
      'mid,,G,fresh,North',
      'light,,G,fresh,South',
      'mid,,G,fresh,South',
    ]);
    const at = item?.offers[1];
    expect(at?.value).toBeCloseTo(0.99 * 15, 9);
    expect(Math.sqrt(item?.covariance[1]?.[1] as number)).toBeCloseTo(
      found.quotes[0]?.offer.valueSd as number,
      9,
    );
  });
});

describe('what cannot be answered', () => {
  const missing = (used: MeasuredTest[], quote = boughtQuote(), over: Partial<OfferInput> = {}) => {
    const found = night(used, [quote], over);
    expect(found.quotes[0]?.chanceBest).toBeNaN();
    expect(found.whatIf).toEqual([]);
    return found.quotes[0]?.missing;
  };
  it('says how many tests a thin range or grade has', () => {
    expect(missing(manyTests(3))).toBe('3 tests of grade G; 8 are needed');
    expect(
      missing([...manyTests(20), ...manyTests(3, light, 'l')], boughtQuote({ weightClass: 'light' })),
    ).toBe('3 tests of pieces of light; 8 are needed');
  });
  it('gives no answer for a range never seen, not in the chain file, or outside the weights seen', () => {
    expect(missing(manyTests(20), boughtQuote({ weightClass: 'giant' }))).toBe(
      '0 tests of pieces of giant; 8 are needed',
    );
    expect(missing(manyTests(20), boughtQuote({ weightClass: '7-9' }))).toBe(
      'the range 7-9 is not among the item’s weight classes',
    );
    const heavy = manyTests(20, { weightClass: 'giant', meanPieceKg: 22 });
    expect(missing(heavy, boughtQuote({ weightClass: 'giant' }))).toBe(
      'pieces of giant lie outside the weights seen (2-98 % of tests)',
    );
  });
  it('says what to enter where that would mend it, and nothing where only tests help', () => {
    const remedy = (quote: ReturnType<typeof boughtQuote>, over: Partial<OfferInput> = {}) =>
      night(manyTests(20), [quote], over).quotes[0]?.remedy;
    expect(remedy(boughtQuote({ weightClass: '7-9' }))).toBe('add it to weight_classes of rib in chain.yaml');
    expect(remedy(boughtQuote({ basis: 'FOB' }))).toContain('reference/quotes.csv');
    const outputs = manyTests(20).map((test) => boughtLine(test, { regularPricePerKg: Number.NaN }));
    expect(remedy(boughtQuote(), { outputs })).toContain('reference/prices.csv');
    expect(remedy(boughtQuote({ weightClass: 'giant' }))).toBe('');
    expect(remedy(boughtQuote())).toBe('');
  });
  it('names outputs without a price, freight not given, and frozen pieces never tested', () => {
    const used = manyTests(20);
    const outputs = used.map((test) => boughtLine(test, { regularPricePerKg: Number.NaN }));
    expect(missing(used, boughtQuote(), { outputs })).toBe('no regular price in force for steak');
    expect(missing(used, boughtQuote({ basis: 'FOB' }))).toBe(
      'the quote is FOB and its freight is not given',
    );
    expect(missing(used, boughtQuote({ state: 'frozen' }))).toBe(
      'no tests of thawed pieces of Rib (rib); frozen pieces are not judged by fresh ones',
    );
  });
  it('does not value what was fitted from too few tests or too vaguely, and knows nothing without tests', () => {
    const used = manyTests(20);
    expect(missing(used, boughtQuote(), { modeled: { weightModels: [] } })).toBe(
      'too few tests of Rib (rib) to fit yield over weight',
    );
    const vague = boughtModel();
    vague.outcomes.value = { coefficients: [12, 0.3], covariance: [9, 0, 0, 0.1], residualSd: 1, unseen: 0 };
    expect(missing(used, boughtQuote(), { modeled: { weightModels: [vague] } })).toBe(
      'the value is not known to within 20 %; more tests are needed',
    );
    expect(missing([])).toBe('no tests of Rib (rib)');
  });
  it('leaves out quotes that are not in force', () => {
    expect(
      night(manyTests(20), [boughtQuote({ validTo: 99 }), boughtQuote({ validFrom: 101 })]).quotes,
    ).toEqual([]);
  });
});

describe('yield over piece weight', () => {
  const used = [...manyTests(20), ...manyTests(10, { supplier: 'South', drainedKg: 9.6 }, 's')];
  const { byWeight } = night(used, [boughtQuote(), boughtQuote({ supplier: 'South', pricePerKg: 8 })]);
  const at = (supplier: string, weightKg: number) =>
    byWeight.find((row) => row.supplier === supplier && row.weightKg === weightKg);

  it('stays on the weights seen, for the average supplier and each with 8 tests', () => {
    expect([...new Set(byWeight.map((row) => row.supplier))]).toEqual(['', 'North', 'South']);
    expect(byWeight.filter((row) => row.supplier === '').map((row) => row.weightKg)).toEqual([
      5, 6.25, 7.5, 8.75, 10, 11.25, 12.5, 13.75, 15,
    ]);
  });

  it('gives shares of billed weight, value and cost at the supplier`s own quote for the range (worked by hand)', () => {
    const row = at('South', 10);
    expect(row?.saleable.value).toBeCloseTo(0.96 * 0.9, 12);
    expect(row?.mainCut.value).toBeCloseTo(0.96 * 0.8, 12);
    expect(row?.valuePerBilledKg.value).toBeCloseTo(0.96 * 15, 12);
    const reach = (row?.saleable.high as number) - (row?.saleable.value as number);
    expect(reach).toBeCloseTo(1.959964 * 0.96 * Math.sqrt(1e-4 + 100 * 1e-6), 6);
    expect(row?.costPerSaleableKg.value).toBeCloseTo(8 / (0.96 * 0.9), 12);
    expect(row?.costPerSaleableKg.low).toBeCloseTo(8 / (0.96 * 0.9 + reach), 12);
    expect(at('', 10)?.deliveredPerKg).toBe(8);
    expect(at('North', 10)?.deliveredPerKg).toBe(9);
  });

  it('has no value where an output has no price, and says so', () => {
    const outputs = used.map((test) => boughtLine(test, { regularPricePerKg: Number.NaN }));
    const [row] = night(used, [boughtQuote()], { outputs }).byWeight;
    expect(row?.missing).toBe('no regular price in force for steak');
    expect(row?.valuePerBilledKg.value).toBeNaN();
    expect(row?.costPerSaleableKg.value).toBeNaN();
    expect(row?.saleable.value).toBeGreaterThan(0.5);
  });

  it('has no cost where no quote is open for the range, and no row for a grade with few tests', () => {
    expect(at('South', 7.5)?.weightClass).toBe('light');
    expect(at('South', 7.5)?.costPerSaleableKg.value).toBeNaN();
    const few = night([...used, ...manyTests(3, { grade: 'S' }, 'g')]).byWeight;
    expect(few.every((row) => row.grade === 'G')).toBe(true);
  });
});

describe('many quotes of one item', () => {
  it('are compared with the best 30 alike, and the what-if takes 60', () => {
    const suppliers = Array.from({ length: 80 }, (_, k) => `S${String(k).padStart(2, '0')}`);
    const quotes = suppliers.map((supplier, k) => boughtQuote({ supplier, pricePerKg: 8 + k / 100 }));
    const { indifference, whatIf } = night([...manyTests(20), ...manyTests(10, light, 'l')], quotes);
    const ofFirst = indifference.filter((row) => row.from.supplier === 'S00' && row.priceToPerKg > 0);
    expect(ofFirst).toHaveLength(30);
    expect(ofFirst[0]?.to.supplier).toBe('S01');
    expect(whatIf[0]?.offers).toHaveLength(60);
  });
});

describe('ranges', () => {
  it('lists every range of the grades tested, at the best open quote', () => {
    const { ranges } = night([...manyTests(20), ...manyTests(10, light, 'l')]);
    expect(ranges.map((row) => [row.weightClass, row.tests, row.missing])).toEqual([
      ['light', 10, ''],
      ['mid', 20, ''],
      ['giant', 0, '0 tests of pieces of giant; 8 are needed'],
    ]);
    expect(ranges[1]?.costPerSaleableKg).toBeCloseTo(9 / (0.9 * 0.98), 9);
    expect(ranges[0]?.costPerSaleableKg).toBeNaN();
    expect(ranges[0]?.saleable).toBeCloseTo(0.88 * 0.98, 9);
  });
});
