import { describe, expect, it } from 'vitest';
import { readChain } from '../../src/catalog/readChain.ts';
import { buyingFindings } from '../../src/findings/buyingFindings.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { kgPerLb } from '../../src/units/weight.ts';

const chain = readChain('sample-data', diskFileSystem);
const test = (i: number, over: Partial<MeasuredTest> = {}): MeasuredTest =>
  ({
    store: 's1',
    testId: `T${String(i).padStart(2, '0')}`,
    supplier: 'Millrace Meats',
    item: '112A',
    cutDay: 20_000 + i,
    purgeOfBilled: 0.012,
    shortKg: 0,
    billedFilledKg: 10,
    boughtClass: '',
    spec: '',
    piecesIn: 1,
    drainedKg: 13.9 * kgPerLb,
    purgeFilledKg: 0.1 * kgPerLb,
    sourceFile: 'inbox/a.csv',
    sourceLine: i + 2,
    ...over,
  }) as MeasuredTest;
const tests = (n: number, over: (i: number) => Partial<MeasuredTest>): MeasuredTest[] =>
  Array.from({ length: n }, (_, i) => test(i, over(i)));
const kinds = (own: MeasuredTest[]): string[] => buyingFindings(own, chain).map((row) => row.kind);

describe('buyingFindings', () => {
  it('claims purge when its whole interval is above 2.25 %, with the worst 12 tests in the order of days', () => {
    const found = buyingFindings(
      tests(20, (i) => ({ purgeOfBilled: 0.028 + 0.0002 * (i % 5) })),
      chain,
    );
    expect(found.map((row) => row.kind)).toEqual(['purge-high']);
    const [claim] = found;
    expect(claim?.effect).toBeCloseTo(2.84, 10);
    expect(claim?.low).toBeGreaterThan(2.25);
    expect(claim?.comparedWith).toBe('the usual 2 %');
    expect(claim?.evidence).toHaveLength(12);
    const lines = claim?.evidence.map((one) => one.sourceLine) as number[];
    expect(lines).toEqual([...lines].sort((a, b) => a - b));
    expect(claim?.evidence.some((one) => (one.sourceLine - 2) % 5 === 0)).toBe(false);
  });

  it('claims nothing on fewer than 8 tests, or where the interval reaches what is usual', () => {
    expect(kinds(tests(7, () => ({ purgeOfBilled: 0.05 })))).toEqual([]);
    expect(kinds(tests(20, (i) => ({ purgeOfBilled: i % 2 === 0 ? 0.001 : 0.042 })))).toEqual([]);
    expect(kinds(tests(20, () => ({ purgeOfBilled: 0.05, supplier: '' })))).toEqual([]);
  });

  it('claims short weight by billed weight, and pieces outside the range they were bought in', () => {
    const beside = tests(10, (i) => ({ testId: `b${i}`, supplier: 'Tallgrass Packing' }));
    expect(kinds([...tests(10, (i) => ({ shortKg: 0.05 + 0.001 * i })), ...beside])).toEqual([
      'short-weight',
    ]);
    expect(kinds([...tests(10, (i) => ({ shortKg: 0.01 + 0.001 * i })), ...beside])).toEqual([]);
    const outside = tests(12, (i) => ({ boughtClass: i < 8 ? '11-13' : '13-15' }));
    expect(kinds(outside)).toEqual(['out-of-range-pieces']);
    expect(kinds(tests(12, () => ({ boughtClass: '13-15' })))).toEqual([]);
  });

  it('judges a piece by its weight as packed, and calls a piece below every range outside', () => {
    const drained = (pounds: number) => ({ boughtClass: '11-13', drainedKg: pounds * kgPerLb });
    expect(kinds(tests(12, () => drained(10.95)))).toEqual([]);
    expect(kinds(tests(12, () => drained(10.5)))).toEqual(['out-of-range-pieces']);
  });

  it('does not claim on a range that the chain file does not name', () => {
    expect(kinds(tests(12, () => ({ boughtClass: 'heavy' })))).toEqual([]);
  });

  const three = ['Millrace Meats', 'Tallgrass Packing', 'Third'];
  const purged = (level: (supplier: number, lot: number) => number): MeasuredTest[] =>
    three.flatMap((supplier, s) =>
      tests(120, (i) => ({
        testId: `${s}-${i}`,
        supplier,
        lot: `L${i % 12}`,
        purgeOfBilled: level(s, i % 12) + 0.004 * Math.sin(12.9898 * (i + 200 * s)),
      })),
    );

  it('claims of nobody what all lose alike, nor a hair above the usual', () => {
    expect(kinds(purged(() => 0.03))).toEqual([]);
    expect(kinds(purged((s) => (s === 0 ? 0.0215 : 0.01)))).toEqual([]);
    expect(kinds(purged((s) => (s === 0 ? 0.033 : 0.031)))).toEqual([]);
  });

  it('counts lots as what is drawn: a few bad ones do not make a bad supplier', () => {
    const [claim, ...rest] = buyingFindings(
      purged((s) => (s === 0 ? 0.03 : 0.015)),
      chain,
    );
    expect(rest).toEqual([]);
    expect(claim?.comparedWith).toMatch(
      /^the usual 2 % and 1\.(49|5|51) % of the other suppliers, same items, treatments and days since pack$/,
    );
    // the same mean, from 3 lots of 12 at 7.5 %: these are claimed, not the supplier
    const [ofLots, ...others] = buyingFindings(
      purged((s, lot) => (s === 0 && lot < 3 ? 0.075 : 0.015)),
      chain,
    );
    expect(others).toEqual([]);
    expect(ofLots).toMatchObject({ tests: 30, about: 'Millrace Meats' });
    expect(ofLots?.says).toMatch(/^7\.48 % of billed weight is lost as purge in 3 lots \(L0, L1, L2\) /);
  });

  it('compares with bags of the same age: who delivers old ones is not worse for it', () => {
    const aged = tests(90, (i) => ({
      testId: `a${i}`,
      supplier: three[i % 3] as string,
      lot: `L${i % 10}`,
      packDay: 20_000 + i - (i % 3 === 0 || i % 2 === 0 ? 30 : 3),
      purgeOfBilled: (i % 3 === 0 || i % 2 === 0 ? 0.034 : 0.012) + 0.001 * Math.sin(12.9898 * i),
    }));
    expect(kinds(aged)).toEqual([]);
    const unknown = buyingFindings(
      aged.map((test) => ({ ...test, packDay: Number.NaN })),
      chain,
    );
    expect(unknown.filter((row) => !/ in .*lots? /.test(row.says)).map((row) => row.about)).toEqual([
      'Millrace Meats',
    ]);
  });

  it('keeps suppliers apart', () => {
    const two = [
      ...tests(10, (i) => ({ purgeOfBilled: 0.03 + 0.0001 * i })),
      ...tests(10, (i) => ({ supplier: 'Tallgrass Packing', purgeOfBilled: 0.01 + 0.0001 * i })),
    ];
    expect(buyingFindings(two, chain).map((row) => row.headline.split(':')[0])).toEqual(['Millrace Meats']);
  });
});
