import { describe, expect, it } from 'vitest';
import { addingUp } from '../../src/money/addingUp.ts';
import { massBalance } from '../../src/money/massBalance.ts';

const unaccounted = (receivedKg: number, outputsKg: readonly number[]): number =>
  massBalance({
    billedKg: Number.NaN,
    receivedKg,
    weighed: 'drained',
    purgeKg: Number.NaN,
    addedKg: Number.NaN,
    outputsKg,
  }).unaccountedKg;

describe('published cut-out tables that add up', () => {
  it('leave nothing unaccounted (domain facts 4.3: 1,150-lb steer, reprint; check 7)', () => {
    const primals: [string, number, number[]][] = [
      ['chuck', 209.5, [33.9, 83.3, 35.5, 25.4, 31.4]],
      ['round', 155.8, [34.6, 31.2, 16.8, 7.8, 33.4, 32.0]],
      ['thin cuts', 134.6, [3.6, 2.9, 2.2, 2.5, 16.0, 87.3, 20.1]],
      ['loin', 115.7, [19.6, 9.8, 15.0, 15.3, 6.8, 22.7, 26.5]],
      ['rib', 66.6, [23.9, 9.2, 8.6, 16.5, 8.4]],
    ];
    for (const [primal, total, outputs] of primals)
      expect(Math.abs(unaccounted(total, outputs)), primal).toBeLessThan(0.05);
  });

  it('name what is lost as unaccounted (domain facts 4.3: state board of animal health, read)', () => {
    expect(unaccounted(590, [35, 40, 65, 45, 20, 105, 110, 45])).toBe(125);
  });
});

describe('rounding traps (domain facts 4.3: extension table of freezer beef, read; check 8)', () => {
  const shares = [0.29, 0.09, 0.16, 0.22, 0.19, 0.05];
  const takeHome = (carcass: number): number[] => shares.map((share) => carcass * 0.7 * share);
  it('round halves up: 24.5 lb of the 700-lb carcass is 25, as printed', () => {
    expect(addingUp(490, takeHome(700), 1)).toEqual([142, 44, 78, 108, 93, 25]);
  });
  it('keep the total of 560 where parts rounded one by one make 559', () => {
    const parts = takeHome(800);
    expect(parts.map(Math.round).reduce((sum, part) => sum + part, 0)).toBe(559);
    expect(addingUp(560, parts, 1).reduce((sum, part) => sum + part, 0)).toBe(560);
  });
});

describe('abstracts that give two means', () => {
  // Fixtures of direction and closure, not evidence: no spread, no tests behind them (journal abstracts, read; check 9).
  it('agree in direction and leave no more than the piece (inside round, outside round flat: Choice against Select)', () => {
    const saleable = { insideRound: [80.13, 87.34], outsideFlat: [85.99, 91.34] };
    const fat = { outsideFlat: [13.82, 7.26] };
    for (const [choice, select] of Object.values(saleable) as [number, number][])
      expect(select).toBeGreaterThan(choice);
    for (const k of [0, 1]) {
      const left = unaccounted(100, [saleable.outsideFlat[k] as number, fat.outsideFlat[k] as number]);
      expect(left).toBeGreaterThanOrEqual(0);
      expect(left).toBeCloseTo(k === 0 ? 0.19 : 1.4, 9);
    }
  });
});
