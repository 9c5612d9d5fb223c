import { table } from 'arquero';
import { describe, expect, it } from 'vitest';
import { cellFits } from '../../src/review/cellFits.ts';
import { type Copy, copiedTests } from '../../src/review/copiedTests.ts';
import { expectedShares } from '../../src/review/expectedShares.ts';
import { judgeSheet } from '../../src/review/judgeSheet.ts';
import { lineCells } from '../../src/review/lineCells.ts';
import { drainedOf, pieceSizes } from '../../src/review/pieceSize.ts';
import { reviewFacts } from '../../src/review/reviewFacts.ts';
import {
  expectedLineKg,
  leftOver,
  logLikelihood,
  type TrueSheet,
  trueSheet,
} from '../../src/review/sheetLikelihood.ts';
import type { TScatter } from '../../src/review/tScatter.ts';
import { kgPerLb } from '../../src/units/weight.ts';
import {
  honestSheets,
  nightOfSheets,
  type PlainSheet,
  tinyChain,
  usualShares,
  weighing,
  wideSheets,
} from './nightOfSheets.ts';

const honest = honestSheets(300);
const without = (sheet: PlainSheet, name: string): PlainSheet => ({
  ...sheet,
  lines: Object.fromEntries(Object.entries(sheet.lines).filter(([own]) => own !== name)),
});
const compared = (sheets: readonly PlainSheet[]) => {
  const night = nightOfSheets(sheets);
  const facts = reviewFacts(night.screened, night.measured, { chain: tinyChain, stores: [] });
  const lines = lineCells(facts);
  const expected = expectedShares(facts, lines, night.modeled);
  return { night, facts, lines, expected, fits: cellFits(facts, lines, expected), sizes: pieceSizes(facts) };
};

describe('lineCells', () => {
  it('compares a sheet that leaves a line out with those that have it', () => {
    const { lines, facts } = compared(honest.map((sheet, i) => (i < 3 ? without(sheet, 'waste') : sheet)));
    expect(lines.cells).toHaveLength(1);
    expect([...(lines.cells[0]?.outputs ?? [])].map((code) => facts.outputNames[code])).toEqual(
      Object.keys(usualShares).sort(),
    );
    const place = facts.outputNames.indexOf('waste');
    expect(lines.kg[(lines.start[0] as number) + place]).toBe(0);
    expect(lines.kg[(lines.start[9] as number) + place]).toBeGreaterThan(0);
  });

  it('takes a set of lines that 20 sheets have for a way of testing of its own', () => {
    const { lines } = compared(honest.map((sheet, i) => (i < 30 ? without(sheet, 'waste') : sheet)));
    expect(lines.cells.map((cell) => [cell.outputs.length, cell.members.length])).toEqual([
      [4, 30],
      [5, 270],
    ]);
  });

  it('does not compare a sheet with a blank line', () => {
    const blank = honest.map((sheet, i) =>
      i === 4 ? { ...sheet, lines: { ...sheet.lines, fat: Number.NaN } } : sheet,
    );
    expect(compared(blank).lines.cellOf[4]).toBe(-1);
  });
});

describe('expectedShares', () => {
  it('is what the model expects of a used test in its room by its cutter, and of a held one by its kind', () => {
    const sheets = honest.map((sheet, i) =>
      i === 2 ? { ...sheet, lines: { ...sheet.lines, fat: 5 } } : sheet,
    );
    const { night, facts, lines } = compared(sheets);
    expect(facts.state[2]).toBe('held');
    const rows = night.modeled.expected.numRows();
    const room = new Float64Array(rows).fill(0.02);
    const expected = expectedShares(facts, lines, {
      ...night.modeled,
      expected: night.modeled.expected.assign(table({ store_fat: room, cutter_fat: room })),
    });
    const fat = facts.outputNames.indexOf('fat');
    for (const i of [0, 2]) expect(expected.share[(lines.start[i] as number) + fat]).toBeCloseTo(0.14, 12);
    expect(expected.share[(lines.start[2] as number) + facts.outputNames.indexOf('steak')]).toBeCloseTo(
      0.7,
      12,
    );
  });
});

describe('pieceSizes', () => {
  it('is a density over log weight, highest in the middle of what is bought', () => {
    const [size] = compared(honest).sizes;
    if (size === undefined) throw new Error('no size');
    const step = 0.002;
    let total = 0;
    for (let log = Math.log(6) - 1.5; log < Math.log(6) + 1.5; log += step)
      total += Math.exp(size.logDensity(Math.exp(log))) * step;
    expect(total).toBeGreaterThan(0.98);
    expect(total).toBeLessThan(1.02);
    expect(size.logDensity(5.9)).toBeGreaterThan(size.logDensity(2.7));
    expect(size.logDensity(2.7)).toBeGreaterThan(-20);
  });

  it('gives a light piece of a wide range what a normal weight gives it, and a tenth of one practically nothing', () => {
    const [size] = compared(wideSheets(honestSheets(1000))).sizes;
    if (size === undefined) throw new Error('no size');
    const normal = (lb: number): number =>
      (lb * Math.exp(-0.5 * ((lb - 13) / 2.2) ** 2)) / 2.2 / Math.sqrt(2 * Math.PI);
    for (const lb of [5.3, 13, 20.7])
      expect(Math.exp(size.logDensity(lb * kgPerLb)) / normal(lb)).toBeCloseTo(1, 0);
    expect(size.isImpossible(5.3 * kgPerLb)).toBe(false);
    for (const lb of [1.3, 130]) {
      expect(size.isImpossible(lb * kgPerLb)).toBe(true);
      expect(size.logDensity(lb * kgPerLb)).toBeLessThan(-15);
    }
  });

  it('takes many pieces of half the weight for pieces of the kind, and one of them for a slip', () => {
    const light = (count: number) =>
      compared(honest.map((sheet, i) => (i < count ? weighing(sheet, 0.5 * sheet.received) : sheet)))
        .sizes[0];
    const [one, many] = [light(1), light(9)];
    const halfKg = 6.5 * kgPerLb;
    expect(many?.logDensity(halfKg)).toBeGreaterThan((one?.logDensity(halfKg) ?? 0) + 3);
  });

  it('says nothing with fewer than 8 used tests', () => {
    const [size] = compared(honest.slice(0, 7)).sizes;
    expect(size?.logDensity(1)).toBe(size?.logDensity(100));
    expect(size?.isImpossible(100)).toBe(false);
  });
});

/** Two lines of 70 and 28 %, SDs 2 points and 2 points, what is left over with an SD of 0.2 points. */
const twoLines = (): TrueSheet => {
  const [own, shared] = [4e-4, -3.98e-4];
  const fit = { k: 2, nu: 40, scatter: Float64Array.from([own, shared, shared, own]) } as unknown as TScatter;
  const made = trueSheet(fit, {
    share: Float64Array.from([0.7, 0.28]),
    widening: 1,
    usualDrainedKg: 6,
    ownWay: undefined,
    pieceSize: {
      logDensity: (kg) => -0.5 * (Math.log(kg / 6) / 0.1) ** 2 - Math.log(0.1 * Math.sqrt(2 * Math.PI)),
      isImpossible: (kg) => Math.abs(Math.log(kg / 6)) > 0.7,
    },
    pieces: 1,
    divisionKg: 0.002,
  });
  if (made === undefined) throw new Error('not regular');
  return made;
};
const sheetOf = (receivedKg: number, ...linesKg: number[]) => ({
  receivedKg,
  purgeKg: Number.NaN,
  billedKg: Number.NaN,
  isInBag: false,
  linesKg: Float64Array.from(linesKg),
});
const use = { likelier: () => 1, isSeen: () => false, isOdd: false };
const asked = { unit: 'lb', use, usualPurge: Number.NaN, addedKg: Number.NaN, most: 0.03 };

describe('sheetLikelihood', () => {
  it('knows what is left over, and what one line should weigh by the other', () => {
    expect(leftOver(sheetOf(6, 4.2, 1.68), Number.NaN)).toBeCloseTo(0.02, 12);
    expect(leftOver(sheetOf(6, 4.2, 1.68), 0.6)).toBeCloseTo(0.12, 12);
    // the other line is 1 point high, so this one is expected nearly 1 point low: 0.7 - 0.01 x 0.995
    expect(expectedLineKg(twoLines(), sheetOf(6, 9, 0.29 * 6), 0) / 6).toBeCloseTo(0.69, 3);
  });

  it('does not depend on units: a wrong factor costs only what it makes unlikely', () => {
    const truth = twoLines();
    const good = logLikelihood(truth, sheetOf(6, 4.2, 1.68));
    expect(logLikelihood(truth, sheetOf(60, 42, 16.8))).toBeCloseTo(
      good - 0.5 * (Math.log(10) / 0.1) ** 2,
      6,
    );
    expect(logLikelihood(truth, sheetOf(0, 4.2, 1.68))).toBe(Number.NEGATIVE_INFINITY);
  });
});

describe('judgeSheet', () => {
  it('changes a whole sheet by size alone only where no such piece exists or the store writes in both units', () => {
    const inKg = sheetOf(6 * kgPerLb, 4.2 * kgPerLb, 1.68 * kgPerLb);
    const verdictOf = (truth: TrueSheet, isSeen: boolean) =>
      judgeSheet(truth, inKg, { ...asked, use: { ...use, isSeen: () => isSeen } });
    const truth = twoLines();
    const possible = { ...truth, pieceSize: { ...truth.pieceSize, isImpossible: () => false } };
    expect(verdictOf(possible, false)).toMatchObject({ error: { cause: 'test-unit' }, isRepairable: false });
    expect(verdictOf(possible, true).isRepairable).toBe(true);
    expect(verdictOf(truth, false).isRepairable).toBe(true);
    expect(verdictOf(possible, false).chance).toBeGreaterThan(0.99);
  });

  it('finds a true sheet true', () => {
    expect(judgeSheet(twoLines(), sheetOf(6, 4.2, 1.68), asked).chanceGood).toBeGreaterThan(0.999);
  });

  it('takes what is missing for a purge ten times too small only where purge is usually that much', () => {
    const sheet = { ...sheetOf(6.5, 4.2, 1.68), purgeKg: 0.05, isInBag: true };
    const causeOf = (usualPurge: number): string =>
      judgeSheet(twoLines(), sheet, { ...asked, usualPurge }).error.cause;
    expect(causeOf(0.06)).toBe('purge-decimal');
    expect(causeOf(0.004)).not.toBe('purge-decimal');
    for (const purgeKg of [Number.NaN, 0])
      expect(
        judgeSheet(twoLines(), { ...sheetOf(6, 1.68, 4.2), purgeKg }, { ...asked, usualPurge: 0.02 }),
      ).toMatchObject({
        error: { cause: 'lines-swapped' },
        isRepairable: true,
      });
  });

  it.each([
    ['line-unit', 1, sheetOf(6, 4.2, 1.68 * 0.45359237)],
    ['line-decimal', 0, sheetOf(6, 42, 1.68)],
    ['lines-swapped', 0, sheetOf(6, 1.68, 4.2)],
    ['received-decimal', -1, sheetOf(60, 4.2, 1.68)],
    ['test-unit', -1, sheetOf(96, 67.2, 26.88)],
    ['line-left-out', 1, sheetOf(6, 4.2, 0)],
    ['line-twice', 1, sheetOf(6, 4.2, 4.2)],
    ['line-wrong', 0, sheetOf(6, 2.9, 1.68)],
    ['received-wrong', -1, sheetOf(5, 4.2, 1.68)],
  ] as const)('finds %s', (cause, line, sheet) => {
    const verdict = judgeSheet(twoLines(), sheet, asked);
    expect([verdict.error.cause, verdict.error.line]).toEqual([cause, line]);
    expect(verdict.chance).toBeGreaterThan(0.9);
    expect(verdict.chanceGood).toBeLessThan(0.001);
    const isUndone = !['line-left-out', 'line-twice', 'line-wrong', 'received-wrong'].includes(cause);
    expect(verdict.isRepairable).toBe(isUndone);
    if (isUndone) expect(leftOver(verdict.restored, Number.NaN)).toBeCloseTo(0.02, 9);
  });
});

describe('copiedTests', () => {
  const later = (
    original: PlainSheet,
    lines: Record<string, number>,
    received = original.received,
  ): PlainSheet => ({
    testId: 'z',
    cutter: original.cutter,
    day: 30000,
    received,
    lines,
  });
  const copiesOf = (
    sheets: readonly PlainSheet[],
    divisionLb = (_: PlainSheet) => 0.01,
    least = 0.9,
  ): Copy[] => {
    const { facts, lines, expected, fits, sizes } = compared(sheets);
    const divisionKg = Float64Array.from(sheets, (sheet) => divisionLb(sheet) * kgPerLb);
    const night = { facts: { ...facts, divisionKg }, lines, fits, sizes, widening: expected.widening };
    return copiedTests(night, () => true, least);
  };
  const chancesOf = (sheets: readonly PlainSheet[]): Map<number, number> =>
    new Map(copiesOf(sheets).map((copy) => [copy.test, copy.from]));
  const original = honest[44] as PlainSheet;

  it('finds weights sent again with one figure changed, and the test they were taken from', () => {
    const copy = later(original, { ...original.lines, steak: (original.lines['steak'] as number) + 0.02 });
    expect([...chancesOf([...honest, copy])]).toEqual([[honest.length, 44]]);
  });

  it('finds a sheet with two weights moved by a few divisions, by a purge that is the same', () => {
    const bagOf = (sheet: PlainSheet, i: number): number => (sheet.testId === 'z' ? 44 : i) % 37;
    const inBag = (sheets: readonly PlainSheet[], purges: readonly number[]) => {
      const { facts, lines, expected, fits, sizes } = compared(sheets);
      const purgeKg = Float64Array.from(sheets, (_, i) => (purges[i] as number) * kgPerLb);
      const bagged = {
        ...facts,
        weighed: facts.weighed.map(() => 'in-bag'),
        purgeKg,
        receivedKg: facts.receivedKg.map((kg, i) => kg + (purgeKg[i] as number)),
      };
      return copiedTests({ facts: bagged, lines, fits, sizes, widening: expected.widening }, () => true, 0.9);
    };
    const steak = original.lines['steak'] as number;
    const trim = original.lines['lean trim'] as number;
    const moved = { ...original.lines, steak: steak + 0.01, 'lean trim': trim - 0.02 };
    for (const copy of [
      later(original, moved),
      later(original, { ...original.lines, steak: steak + 0.02 }, original.received + 0.02),
    ]) {
      const sheets = [...honest, copy];
      const purges = sheets.map((sheet, i) => 0.2 + 0.02 * bagOf(sheet, i));
      expect(inBag(sheets, purges).map((found) => [found.test, found.from])).toEqual([[honest.length, 44]]);
      const otherPurge = purges.map((lb, i) => (i === honest.length ? 0.61 : lb));
      expect(inBag(sheets, otherPurge)).toEqual([]);
    }
  });

  it('finds the shares of the last test written out for another piece', () => {
    const received = 14.37;
    const last = honest[284] as PlainSheet;
    const lines = Object.fromEntries(
      Object.entries(last.lines).map(([name, lb]) => [
        name,
        Math.round((lb / last.received) * received * 100) / 100,
      ]),
    );
    expect([...chancesOf([...honest, later(last, lines, received)])]).toEqual([[honest.length, 284]]);
  });

  it('counts what repeats: weights, or shares to the division of the scale', () => {
    const steak = (original.lines['steak'] as number) + 0.02;
    const received = 14.37;
    const last = honest[284] as PlainSheet;
    const shared = Object.entries(last.lines).map(([name, lb], place): [string, number] => [
      name,
      Math.round((lb / last.received) * received * 100 + (place === 2 ? 2 : 0)) / 100,
    ]);
    for (const [copy, isByShare] of [
      [later(original, { ...original.lines, steak }), false],
      [later(last, Object.fromEntries(shared), received), true],
    ] as const)
      expect(copiesOf([...honest, copy])).toMatchObject([{ isByShare, alike: 4, lines: 5 }]);
  });

  it('takes shares that a coarse scale makes alike for honest, and weights sent again for copied', () => {
    const [division, received] = [0.05, 9.2];
    const isCoarse = (sheet: PlainSheet): boolean => sheet.cutter === original.cutter;
    const toDivision = (lb: number): number => Math.round(lb / division) * division;
    const rounded = (sheet: PlainSheet): PlainSheet => ({
      ...sheet,
      received: toDivision(sheet.received),
      lines: Object.fromEntries(Object.entries(sheet.lines).map(([name, lb]) => [name, toDivision(lb)])),
    });
    const sheets = honest.map((sheet) => (isCoarse(sheet) ? rounded(sheet) : sheet));
    const last = sheets[284] as PlainSheet;
    const divisionOf = (sheet: PlainSheet): number => (isCoarse(sheet) ? division : 0.01);
    const shares = (off: readonly number[]): PlainSheet =>
      later(
        last,
        Object.fromEntries(
          Object.entries(last.lines).map(([name, lb], place) => [
            name,
            toDivision((lb / last.received) * received) + (off[place] ?? 0) * division,
          ]),
        ),
        received,
      );
    for (const off of [
      [0, 0, 1, 0, 1],
      [0, 0, 0, 0, 0],
    ])
      expect(copiesOf([...sheets, shares(off)], divisionOf)).toEqual([]);
    // on a night with twelve sheets plainly written out from shares, such a one is likelier
    const others = sheets.slice(285, 297).map((sheet) => ({
      ...weighing(sheet, 14.37),
      testId: `${sheet.testId} again`,
      day: 30000,
    }));
    const oddsAmong = (more: readonly PlainSheet[]): number => {
      const night = [...sheets, ...more, shares([0, 0, 0, 0, 0])];
      const { chance } = copiesOf(night, divisionOf, 0).find(
        (copy) => copy.test === night.length - 1,
      ) as Copy;
      return chance / (1 - chance);
    };
    expect(oddsAmong(others)).toBeGreaterThan(5 * oddsAmong([]));
    const again = copiesOf([...sheets, later(last, last.lines)], divisionOf);
    expect(again).toMatchObject([{ test: sheets.length, from: 284, isByShare: false, alike: 5 }]);
  });

  it('finds nothing among honest sheets, nor for the same weights from another cutter', () => {
    expect([...chancesOf(honest)]).toEqual([]);
    expect([
      ...chancesOf([...honest, { ...later(original, original.lines), cutter: 'someone else' }]),
    ]).toEqual([]);
  });

  it('knows drained weight only when purge is known', () => {
    const { facts } = compared(honest.slice(0, 10));
    expect(drainedOf({ ...facts, weighed: facts.weighed.map(() => 'in-bag') }, 0)).toBeNaN();
  });
});
