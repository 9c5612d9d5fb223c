import { describe, expect, it } from 'vitest';
import { thicknessTolerance, weightTolerance } from '../../../src/catalog/portionTolerance.ts';
import { portionReach } from '../../../src/findings/merchandise/portionReach.ts';
import { type PortionInput, portionRows } from '../../../src/findings/merchandise/portionRows.ts';
import type { NormalizedPortion } from '../../../src/normalize/normalized.ts';
import { boughtLine, boughtSettings, boughtTest } from '../buying/boughtChain.ts';

const kgPerOz = 0.45359237 / 16;
const chain = {
  ...boughtSettings,
  items: [
    {
      ...boughtSettings.items[0],
      portions: [{ output: 'steak', weight: 0.34, thickness_in: 1.25 }],
    },
  ],
} as unknown as PortionInput['chain'];

const portion = (
  testId: string,
  piece: number,
  weightKg: number,
  thicknessIn = Number.NaN,
): NormalizedPortion => ({
  store: 's1',
  testId,
  output: 'steak',
  piece: String(piece),
  weightKg,
  thicknessIn,
  sourceFile: 'f',
  sourceLine: piece,
});

describe('portion tolerance', () => {
  it('steps by target weight (domain facts section 2, from memory, an editable default) and yields to the chain file', () => {
    const ounces = [5.9, 6, 11.9, 12, 17.9, 18].map(
      (target) => weightTolerance(target * kgPerOz).plusMinus / kgPerOz,
    );
    for (const [i, expected] of [0.25, 0.5, 0.5, 0.75, 0.75, 1].entries())
      expect(ounces[i]).toBeCloseTo(expected, 9);
    expect(weightTolerance(0.34, 0.02)).toEqual({ plusMinus: 0.02, source: 'chain.yaml' });
    expect(weightTolerance(0.34).source).toBe('from memory, editable default');
    expect([1, 1.01].map((inches) => thicknessTolerance(inches).plusMinus)).toEqual([0.1875, 0.25]);
  });
});

describe('portions against their spec', () => {
  const tests = [
    boughtTest({ testId: 'a', cutter: 'c1' }),
    boughtTest({ testId: 'b', cutter: 'c1' }),
    boughtTest({ testId: 'c', cutter: 'c2' }),
  ];
  // tolerance at 0.34 kg (11.99 oz) is 0.5 oz = 0.01417 kg
  const weights = { a: [0.34, 0.36, 0.38, 0.3], b: [0.34, 0.34, 0.34, 0.34], c: [0.4, 0.4, 0.4, 0.4] };
  const input: PortionInput = {
    portions: Object.entries(weights).flatMap(([id, own]) =>
      [...own, ...own].map((kg, i) => portion(id, i, kg)),
    ),
    used: tests,
    outputs: tests.map((test) => boughtLine(test)),
    chain,
  };
  const rows = portionRows(input);
  const [all, first, second] = rows;

  it('gives mean, spread, sides out of tolerance, giveaway and evenness (worked by hand, constructed)', () => {
    expect(rows.map((row) => [row.cutter, row.pieces, row.tests])).toEqual([
      ['', 24, 3],
      ['c1', 16, 2],
      ['c2', 8, 1],
    ]);
    expect(all?.meanKg).toBeCloseTo((1.38 + 1.36 + 1.6) / 12, 12);
    expect(all?.under).toBeCloseTo(1 / 12, 12);
    expect(all?.over).toBeCloseTo(6 / 12, 12);
    expect(all?.giveawayKg).toBeCloseTo((0.02 + 0.04 + 4 * 0.06) / 12, 12);
    expect(all?.giveawayMoney).toBeCloseTo((20 * (0.02 + 0.04 + 4 * 0.06)) / 12, 12);
    const within = 2 * (0.005 ** 2 + 0.015 ** 2 + 0.035 ** 2 + 0.045 ** 2);
    expect(all?.withinTestSdKg).toBeCloseTo(Math.sqrt(within / 21), 12);
    expect(second?.withinTestSdKg).toBeCloseTo(0, 12);
    expect(all?.low).toBeLessThan(all?.meanKg as number);
    expect(second?.low).toBeNaN();
  });
  it('says what is missing: too few pieces or tests, no spec', () => {
    expect([all?.missing, first?.missing]).toEqual(['', '16 pieces; 20 are needed']);
    const [bare] = portionRows({
      ...input,
      chain: { ...chain, items: [{ ...chain.items[0], portions: [] }] } as never,
    });
    expect(bare?.missing).toBe('no portion weight is set for this output');
    expect(bare?.under).toBeNaN();
    expect(bare?.meanKg).toBeCloseTo(all?.meanKg as number, 12);
  });
  it('leaves out pieces of tests that are not used, and is empty without portions', () => {
    expect(portionRows({ ...input, used: [] })).toEqual([]);
    expect(portionRows({ ...input, portions: [] })).toEqual([]);
  });
});

describe('which portions a range allows', () => {
  const tests = Array.from({ length: 12 }, (_, i) =>
    boughtTest({
      testId: `t${i}`,
      weightClass: i < 6 ? 'light' : 'mid',
      meanPieceKg: 8 + i * 0.3,
    }),
  );
  // 0.03 kg per inch for each kg of the piece
  const portions = tests.flatMap((test) =>
    [1, 1.5].map((inches, i) => portion(test.testId, i, 0.03 * test.meanPieceKg * inches, inches)),
  );
  const input: PortionInput = { portions, used: tests, outputs: [], chain };
  it('grows with the piece, both ways round', () => {
    const [light, mid, giant] = portionReach(input);
    expect(light?.pieceKg).toBeCloseTo(8.75, 9);
    expect(light?.weightAtThicknessKg).toBeCloseTo(0.03 * 8.75 * 1.25, 9);
    expect(light?.thicknessAtWeightIn).toBeCloseTo(0.34 / (0.03 * 8.75), 9);
    expect(mid?.weightAtThicknessKg).toBeGreaterThan(light?.weightAtThicknessKg as number);
    expect(giant?.missing).toBe('no piece of this range was sliced and measured');
    expect(giant?.weightAtThicknessKg).toBeNaN();
  });
  it('does not answer from too few tests', () => {
    const [row] = portionReach({ ...input, portions: portions.slice(0, 6) });
    expect(row?.missing).toBe('3 tests with thickness; 8 are needed');
  });
});
