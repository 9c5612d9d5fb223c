import { createHash } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { takeIn } from '../../pipelines/intake.ts';
import { readChain } from '../../src/catalog/readChain.ts';
import { diskFileSystem } from '../../src/system/fileSystem.ts';
import { numbersOf, textsOf } from '../../src/tables/columns.ts';
import { kgPerLb } from '../../src/units/weight.ts';
import { classNames, saleableOf } from './compositions.ts';
import { cutterShift } from './peopleShift.ts';
import referenceFit from './reference-fit.json' with { type: 'json' };
import { referenceRows } from './referenceRows.ts';
import { simulateChain } from './simulateChain.ts';
import { measuredNight, normalizedNight } from './simulatedTables.ts';
import { keyingErrors } from './spoilTests.ts';
import { truthsOf } from './truths.ts';
import { variantNames } from './variants.ts';
import { writeChain } from './writeChain.ts';

const small = { stores: 6, cutters: 20, tests: 600, items: 3, loneStores: 0, rooms: 0 };
const sum = (values: Iterable<number>): number => [...values].reduce((total, value) => total + value, 0);
const sdOf = (values: readonly number[]): number => {
  const mean = sum(values) / values.length;
  return Math.sqrt(sum(values.map((value) => (value - mean) ** 2)) / (values.length - 1));
};

describe('a simulated chain', () => {
  it('is the same for the same seed, and another for another', () => {
    const of = (seed: number): string => JSON.stringify(simulateChain(seed, 'base', small).tests);
    expect(of(4)).toBe(of(4));
    expect(of(4)).not.toBe(of(5));
  });

  it.each(variantNames)('closes every test and every shift in variant %s', (variant) => {
    for (const test of simulateChain(2, variant, { tests: 1500 }).tests) {
      expect(sum(test.yields)).toBeCloseTo(1, 9);
      expect(sum(test.cutterShift)).toBeCloseTo(0, 9);
      expect(sum(test.storeShift)).toBeCloseTo(0, 9);
    }
  });

  it('has the size, the spread and the errors that are asked for', () => {
    const sim = simulateChain(1);
    expect(Math.abs(sim.tests.length - 15000)).toBeLessThan(150);
    expect(new Set(sim.tests.map((test) => test.store)).size).toBe(60);
    expect(sim.cutters.filter((cutter) => cutter.second !== undefined).length / 220).toBeCloseTo(0.12, 1);
    const noise = sim.tests.map(
      (test) =>
        100 * saleableOf(test.yields) -
        100 * (test.item.base.main_cut + test.item.base.other_cut + test.item.base.lean_trim) -
        saleableOf(test.cutterShift) -
        saleableOf(test.storeShift) -
        test.sharedSkill,
    );
    expect(sdOf(noise)).toBeGreaterThan(1.75);
    expect(sdOf(noise)).toBeLessThan(2.05);
    const share = (label: string): number =>
      sim.tests.filter((test) => test.label === label).length / sim.tests.length;
    expect(sum(keyingErrors.map(share))).toBeGreaterThan(0.01);
    expect(sum(keyingErrors.map(share))).toBeLessThan(0.016);
    expect(share('invented')).toBeGreaterThan(0.005);
    expect(share('invented')).toBeLessThan(0.012);
  });

  it('moves nobody in the zero variant, and knows what a habit moves', () => {
    for (const truth of truthsOf(simulateChain(3, 'zero', small)).cutters.values())
      for (const value of Object.values(truth.effects)) expect(Math.abs(value)).toBeLessThan(1e-9);
    const sim = simulateChain(3, 'base', { habitShare: 1 });
    const cutter = sim.cutters.find((own) => own.habit?.kind === 'main-to-trim');
    const item = cutter?.habit?.items[0] as string;
    const alone = { ...cutter, skill: 0, itemSkill: { [item]: 0 } } as (typeof sim.cutters)[number];
    const size = cutter?.habit?.size as number;
    expect([...cutterShift(alone, item, sim.asOfDay)].map((value) => value / size)).toEqual([
      -1, 0, 1, 0, 0, 0, 0,
    ]);
  });

  it('coaches cutters at their worst, so that most would look better in any case', () => {
    const sim = simulateChain(5, 'coaching');
    const coached = sim.cutters.filter((cutter) => cutter.coached !== undefined);
    expect(coached).toHaveLength(88);
    const improved = coached.filter(
      (cutter) => (cutter.coached?.gain ?? 0) > 0 || cutter.coached?.curesHabit,
    );
    expect(improved.length).toBeGreaterThan(10);
    expect(improved.every((cutter) => cutter.coached?.isControl === false)).toBe(true);
  });

  it('is the chain that the reference fit was made on', () => {
    const digest = createHash('sha256')
      .update(referenceRows(simulateChain(1)))
      .digest('hex');
    expect(digest).toBe(referenceFit.sha256_of_seed_1);
  });

  it('measures back to its own yields', () => {
    const sim = simulateChain(6, 'base', small);
    const measured = measuredNight(sim, ['good']).tests;
    const byId = new Map(sim.tests.map((test) => [test.testId, test]));
    const main = numbersOf(measured, 'mainCutYield');
    for (const [i, id] of textsOf(measured, 'testId').entries()) {
      const test = byId.get(id);
      // two divisions of the scale
      expect(
        Math.abs((main[i] as number) - (test?.yields[classNames.indexOf('main_cut')] as number)),
      ).toBeLessThan((2 * (test?.store.scaleDivisionLb as number)) / (test?.drainedLb as number));
    }
  });
});

describe('the written folder', () => {
  const folder = mkdtempSync(join(tmpdir(), 'simulated-'));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('is read by the intake as the same tables', () => {
    const sim = simulateChain(7, 'coaching', small);
    writeChain(sim, folder);
    const chain = readChain(folder, diskFileSystem);
    const intake = takeIn({ chainFolder: folder, chain, fs: diskFileSystem, asOfDay: sim.asOfDay });
    expect(intake.rejects).toEqual([]);
    const own = normalizedNight(sim);
    for (const name of ['store', 'testId', 'cutter', 'item', 'grade', 'lot', 'weighed', 'sourceFile'])
      expect(textsOf(intake.night.tests, name)).toEqual(textsOf(own.tests, name));
    for (const name of ['cutDay', 'receivedKg', 'purgeKg', 'unitCostPerKg', 'sourceLine'])
      expect(numbersOf(intake.night.tests, name)).toEqual(numbersOf(own.tests, name));
    for (const name of ['outputKg', 'sourceLine'])
      expect(numbersOf(intake.night.outputs, name)).toEqual(numbersOf(own.outputs, name));
    expect(intake.night.reference.coaching).toEqual(own.reference.coaching);
    expect(intake.night.reference.volumes.map((row) => row.weightKg / kgPerLb)).toEqual(
      own.reference.volumes.map((row) => row.weightKg / kgPerLb),
    );
  });
});
