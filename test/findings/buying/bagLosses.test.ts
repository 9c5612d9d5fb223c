import { describe, expect, it } from 'vitest';
import { bagLosses } from '../../../src/findings/buying/bagLosses.ts';
import { manyTests } from './boughtChain.ts';

const used = [
  ...manyTests(10, { plant: 'P1', packDay: 95, leaker: 'no', drainedKg: 9.9 }, 'a'),
  ...manyTests(10, { plant: 'P2', packDay: 79, leaker: 'Yes', drainedKg: 9.5 }, 'b'),
  ...manyTests(3, { supplier: 'South', leaker: '?' }, 'c'),
];
const rows = bagLosses(used);
const row = (supplier: string, by: string, group: string) =>
  rows.find((one) => one.supplier === supplier && one.by === by && one.group === group);

describe('losses in the bag', () => {
  it('are told by supplier, plant, days since pack and leaker (worked by hand, constructed)', () => {
    expect(row('North', 'supplier', 'North')?.purgeShare).toBeCloseTo(0.03, 12);
    expect(row('North', 'supplier', 'North')?.leakerShare).toBe(0.5);
    expect(row('North', 'plant', 'P2')?.purgeShare).toBeCloseTo(0.05, 12);
    expect(row('North', 'days since pack', '00 to 06')?.purgeShare).toBeCloseTo(0.01, 12);
    expect(row('', 'days since pack', '21 to 27')?.purgeShare).toBeCloseTo(0.05, 12);
    expect(row('', 'leaker', 'leaking')?.purgeShare).toBeCloseTo(0.05, 12);
    expect(row('', 'leaker', 'intact')?.tests).toBe(10);
  });

  it('say what is missing with few tests, and guess nothing of a bag that nobody described', () => {
    expect(row('South', 'supplier', 'South')).toMatchObject({
      missing: '3 tests tell the purge; 8 are needed',
    });
    expect(row('South', 'supplier', 'South')?.purgeShare).toBeNaN();
    expect(row('South', 'supplier', 'South')?.leakerShare).toBeNaN();
    expect(rows.filter((one) => one.supplier === 'South').map((one) => one.by)).toEqual(['supplier']);
  });

  it('have one row for all without a test, and say so', () => {
    expect(bagLosses([]).map((one) => one.missing)).toEqual(['0 tests tell the purge; 8 are needed']);
  });
});
