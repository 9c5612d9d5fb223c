import { describe, expect, it } from 'vitest';
import { claimId, claimLots } from '../../../src/findings/buying/claimLots.ts';
import { buyingFindings } from '../../../src/findings/buyingFindings.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { boughtSettings, boughtTest, manyTests } from './boughtChain.ts';

const at = { chain: boughtSettings, asOfDay: 110 };
const claimed = (kind: Parameters<typeof claimId>[0], supplier: string) => [
  { findingId: claimId(kind, supplier) },
];

describe('the lots behind a claim', () => {
  const used = [
    // 0.5 of 10 kg lost in the bag, 2 % of it usual
    ...manyTests(2, { lot: 'L1', drainedKg: 9.5, supplier: 'South', plant: 'P7' }, 'a'),
    ...manyTests(1, { lot: 'L2', drainedKg: 9.9, supplier: 'South' }, 'b'),
    ...manyTests(3, { lot: 'L1', drainedKg: 9.5 }, 'c'),
  ];

  it('name lot, weight above what is usual and its cost, of the suppliers claimed only (worked by hand, constructed)', () => {
    const [row, ...rest] = claimLots(used, claimed('purge-high', 'South'), at);
    expect(rest).toEqual([]);
    expect(row).toMatchObject({ supplier: 'South', plant: 'P7', lot: 'L1', tests: 2, billedKg: 20 });
    expect(row?.share).toBeCloseTo(0.05, 12);
    expect(row?.lostKg).toBeCloseTo(1, 12);
    expect(row?.aboveUsualKg).toBeCloseTo(0.6, 12);
    expect(row?.money).toBeCloseTo(0.6 * 9, 12);
  });

  it('stand with the recent ones first, as an old lot is hard to claim on', () => {
    const lots = [
      ...manyTests(9, { lot: 'old', drainedKg: 9, cutDay: 10 }, 'o'),
      ...manyTests(2, { lot: 'small', drainedKg: 9.6, cutDay: 100 }, 's'),
      ...manyTests(2, { lot: 'new', drainedKg: 9.5, cutDay: 105 }, 'n'),
    ];
    const rows = claimLots(lots, claimed('purge-high', 'North'), at);
    expect(rows.map((row) => row.lot)).toEqual(['new', 'small', 'old']);
  });

  it('count pieces, and no money, where pieces lie outside the range bought', () => {
    const boxes = [
      ...manyTests(12, { lot: 'L8', boughtClass: 'light' }, 'w'),
      boughtTest({
        testId: 'x',
        lot: 'L9',
        boughtClass: 'light',
        piecesIn: 2,
        drainedKg: 20,
        billedKg: 20.4,
      }),
      boughtTest({
        testId: 'y',
        lot: 'L9',
        boughtClass: 'light',
        piecesIn: 3,
        drainedKg: 24,
        billedKg: 24.4,
      }),
    ];
    const rows = claimLots(boxes, claimed('out-of-range-pieces', 'North'), at);
    expect(rows.map((row) => row.lot)).toEqual(['L8', 'L9']);
    const row = rows[1];
    expect(row).toMatchObject({ pieces: 5, piecesOutside: 2, share: 0.4 });
    expect(row?.money).toBeNaN();
  });

  it('follow from two suppliers 2 % of purge apart: one is claimed on, with its lots', () => {
    const two = [
      ...manyTests(20, { supplier: 'North', drainedKg: 9.9, lot: 'N1' }, 'n').map((test, i) => ({
        ...test,
        purgeOfBilled: 0.01 + i * 1e-5,
      })),
      ...manyTests(20, { supplier: 'South', drainedKg: 9.7, lot: 'S1' }, 's').map((test, i) => ({
        ...test,
        purgeOfBilled: 0.03 + i * 1e-5,
      })),
    ];
    const findings = buyingFindings(two, boughtSettings);
    expect(findings.map((row) => [row.kind, row.headline.split(':')[0]])).toEqual([['purge-high', 'South']]);
    expect(claimLots(two, findings, at).map((row) => [row.supplier, row.lot, row.tests])).toEqual([
      ['South', 'S1', 20],
    ]);
  });

  it('are not picked by luck: of many alike, each of two tests, none is named', () => {
    const draw = seededDraws(5, 1);
    const lucky = Array.from({ length: 40 }, (_, k) =>
      manyTests(2, { lot: `L${k}` }, `l${k}-`).map((test) => ({
        ...test,
        purgeOfBilled: 0.021 + draw.between(-0.01, 0.01),
      })),
    ).flat();
    expect(lucky.filter((test) => test.purgeOfBilled > 0.025).length).toBeGreaterThan(20);
    expect(claimLots(lucky, claimed('purge-high', 'North'), at)).toEqual([]);
    const bad = manyTests(6, { lot: 'bad' }, 'b').map((test) => ({ ...test, purgeOfBilled: 0.06 }));
    expect(claimLots([...lucky, ...bad], claimed('purge-high', 'North'), at).map((row) => row.lot)).toEqual([
      'bad',
    ]);
  });

  it('are none without a claim', () => {
    expect(claimLots(used, [], at)).toEqual([]);
  });
});
