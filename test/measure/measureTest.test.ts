import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { measureTest } from '../../src/measure/measureTest.ts';
import { priceList } from '../../src/money/priceList.ts';
import type { NormalizedOutput, NormalizedTest } from '../../src/normalize/normalized.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { kgPerLb } from '../../src/units/weight.ts';

const chain = readChain('sample-data', diskFileSystem);
const price = (output: string, perLb: number, kind = 'regular', validFrom = 0) => ({
  output,
  pricePerKg: perLb / kgPerLb,
  validFrom,
  validTo: Number.NaN,
  kind,
  region: '',
  item: '',
  grade: '',
});
const prices = priceList([
  price('ribeye steak', 15.99),
  price('ribeye eye', 17.99),
  price('lean trim', 4.49),
  price('fat', 0.05),
  price('ribeye steak', 12.99, 'ad', 100),
]);
const setting = { chain, prices, region: 'Lakes', asOfDay: 120 };
const test = (over: Partial<NormalizedTest> = {}) => ({
  store: 's1',
  testId: 'T1',
  cutter: 'c1',
  cutDay: 50,
  item: '112A',
  spec: '',
  treatment: '',
  grade: 'Choice',
  supplier: '',
  plant: '',
  lot: '',
  packDay: Number.NaN,
  leaker: '',
  boughtClass: '',
  billedKg: 14 * kgPerLb,
  receivedKg: 14 * kgPerLb,
  weighed: 'in-bag',
  purgeKg: 0.2 * kgPerLb,
  addedKg: Number.NaN,
  piecesIn: 1,
  unit: 'lb',
  unitCostPerKg: 11 / kgPerLb,
  method: 'whole steaks',
  minutes: 6,
  fatCoverIn: Number.NaN,
  reason: '',
  witness: '',
  note: '',
  revisedDay: Number.NaN,
  sourceFile: 'inbox/a.csv',
  sourceLine: 2,
  state: 'used',
  reasons: '',
  cause: '',
  causeChance: Number.NaN,
  ...over,
});
const outputs = (...lines: [string, number][]): NormalizedOutput[] =>
  lines.map(([output, lb], i) => ({
    store: 's1',
    testId: 'T1',
    output,
    outputClass: '',
    outputKg: lb * kgPerLb,
    weightAsSent: lb,
    pieces: Number.NaN,
    sourceLine: 2 + i,
  }));
const sheet = outputs(['ribeye steak', 12], ['lean trim', 0.6], ['fat', 1.1]);

describe('measureTest', () => {
  it('works one sheet by hand: 14 lb billed at 11, 0.2 lb purge, 12 + 0.6 + 1.1 lb out of 13.8', () => {
    const { test: own } = measureTest(test(), sheet, setting);
    expect(own.drainedKg / kgPerLb).toBeCloseTo(13.8, 12);
    expect(own.unaccountedKg / kgPerLb).toBeCloseTo(0.1, 12);
    expect(own.mainCutYield).toBeCloseTo(12 / 13.8, 12);
    expect(own.saleableYield).toBeCloseTo(12.6 / 13.8, 12);
    expect(own.saleableOfBilled).toBeCloseTo(12.6 / 14, 12);
    expect(own.purchaseCost).toBeCloseTo(154, 10);
    expect(own.salesValue).toBeCloseTo(12 * 15.99 + 0.6 * 4.49 + 1.1 * 0.05, 10);
    expect(own.laborCost).toBeCloseTo(2.4, 12);
    expect([own.weightClass, own.region, own.unpriced]).toEqual(['13-15', 'Lakes', '']);
  });

  it('counts the day’s ad price in the money and the regular list in the value people are compared on', () => {
    const { test: own, outputs: lines } = measureTest(test({ cutDay: 110 }), sheet, setting);
    expect((lines[0]?.pricePerKg as number) * kgPerLb).toBeCloseTo(12.99, 10);
    const regular = (12 * 15.99 + 0.6 * 4.49 + 1.1 * 0.05) / 13.8;
    expect(own.valuePerKg * kgPerLb).toBeCloseTo(regular, 10);
  });

  it('makes a main cut of another method an other cut, and names a cut without a price', () => {
    const { test: own, outputs: lines } = measureTest(
      test(),
      outputs(['ribeye steak', 6], ['ribeye eye', 5], ['ribeye cap', 1.5]),
      setting,
    );
    expect(lines.map((line) => line.outputClass)).toEqual(['main cut', 'other cut', 'other cut']);
    expect(own.unpriced).toBe('ribeye cap');
  });

  it('does not count trim below the floor as saleable, nor a line not weighed as anything', () => {
    const lean = { ...chain, lean_trim_floor: 90 };
    const { test: own } = measureTest(test(), sheet, { ...setting, chain: lean });
    expect(own.saleableYield).toBeCloseTo(12 / 13.8, 12);
    const blank = measureTest(test(), outputs(['ribeye steak', 12], ['fat', Number.NaN]), setting);
    expect(blank.test.fatYield).toBe(0);
    expect(blank.outputs[1]?.outputYield).toBeNaN();
  });

  it('knows no yield where purge is unknown, and still gives the buyer what was billed', () => {
    const { test: own } = measureTest(test({ purgeKg: Number.NaN }), sheet, setting);
    expect([own.saleableYield, own.unaccountedYield, own.valuePerKg]).toEqual(Array(3).fill(Number.NaN));
    expect(own.saleableOfBilled).toBeCloseTo(12.6 / 14, 12);
  });

  it('adds all classes and what is unaccounted to 1, however the piece was weighed', () => {
    const weight = fc.double({ min: 0, max: 5, noNaN: true });
    fc.assert(
      fc.property(
        weight,
        weight,
        weight,
        fc.double({ min: 0, max: 0.8, noNaN: true }),
        (main, lean, fat, purge) => {
          const lines = outputs(['ribeye steak', main + 5], ['lean trim', lean], ['fat', fat]);
          const inBag = measureTest(test({ purgeKg: purge * kgPerLb }), lines, setting).test;
          const drained = measureTest(
            test({ receivedKg: (14 - purge) * kgPerLb, weighed: 'drained', purgeKg: Number.NaN }),
            lines,
            setting,
          ).test;
          const sum =
            inBag.mainCutYield +
            inBag.otherCutYield +
            inBag.leanTrimYield +
            inBag.fatYield +
            inBag.boneYield +
            inBag.wasteYield +
            inBag.unaccountedYield;
          expect(sum).toBeCloseTo(1, 10);
          expect(drained.saleableYield).toBeCloseTo(inBag.saleableYield, 10);
          expect(drained.unaccountedYield).toBeCloseTo(inBag.unaccountedYield, 10);
        },
      ),
    );
  });
});
