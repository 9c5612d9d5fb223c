import { outcomes } from '../../src/catalog/outcomes.ts';
import type { OfferInput } from '../../src/findings/buying/offerSource.ts';
import type { MeasuredTest } from '../../src/measure/measured.ts';
import { weightModel } from '../../src/model/weightModel.ts';
import { yieldFit } from '../../src/model/yieldFit.ts';
import { boughtLine, boughtSettings, boughtTest } from '../findings/buying/boughtChain.ts';
import { seededDraws } from '../simulator/seededDraws.ts';

/** A chain drawn with known truth, for the intervals of what a range is worth. Constructed; sizes as in the trade. */
export type DrawnChain = {
  tests: MeasuredTest[];
  /** True value per billed kg of pieces of a range from a supplier, over the pieces sold in it. */
  trueValue: (range: 'light' | 'mid', supplier: string) => number;
};

const stores = 60;
const cuttersPerStore = 2;
const testsPerStore = 10;
const suppliers = ['North', 'South', 'East', 'West', 'Hill', 'Dale', 'Moor', 'Fen'];

/** True value per drained kg over mean piece weight, kg. */
const curve = (pieceKg: number): number => 15 - 0.25 * (pieceKg - 9) - 0.03 * (pieceKg - 9) ** 2;

const betweenStores = 0.5;
const withinStore = 1.2;
const kept = (pieceKg: number): number => Math.min(11.99, Math.max(6, pieceKg));

/** Mean of the curve over all pieces of a range, by weight: the sum over the normal density of piece weights. */
const meanOver = (isIn: (pieceKg: number) => boolean): number => {
  const sd = Math.hypot(betweenStores, withinStore);
  let kg = 0;
  let value = 0;
  for (let step = -6000; step <= 6000; step++) {
    const z = step / 1000;
    const pieceKg = kept(9 + sd * z);
    if (!isIn(pieceKg)) continue;
    const density = Math.exp(-0.5 * z ** 2);
    kg += density * pieceKg;
    value += density * pieceKg * curve(pieceKg);
  }
  return value / kg;
};
const perDrained = { light: meanOver((pieceKg) => pieceKg < 9), mid: meanOver((pieceKg) => pieceKg >= 9) };

/** 60 stores with 2 cutters and 10 tests each; stores, cutters and suppliers differ, one test has t noise with 5 df, bags lose purge. */
export const drawnChain = (seed: number): DrawnChain => {
  const { normal, heavy, uniform } = seededDraws(seed, 1);
  const supplierOf = suppliers.map((name) => ({
    name,
    value: 0.12 * normal(),
    purge: 0.012 + 0.004 * normal(),
  }));
  const tests: MeasuredTest[] = [];
  for (let s = 0; s < stores; s++) {
    const ofStore = 0.25 * normal();
    const likesHeavy = betweenStores * normal();
    const ofCutter = Array.from({ length: cuttersPerStore }, () => 0.3 * normal());
    for (let k = 0; k < testsPerStore; k++) {
      const supplier = supplierOf[Math.floor(uniform() * suppliers.length)] as (typeof supplierOf)[number];
      const pieceKg = kept(9 + likesHeavy + withinStore * normal());
      const isSelect = uniform() < 0.3;
      const cutter = Math.floor(uniform() * cuttersPerStore);
      const usable = 1 - supplier.purge - 0.003 * Math.abs(normal());
      const valuePerKg =
        curve(pieceKg) +
        (isSelect ? 0.2 : 0) +
        supplier.value +
        ofStore +
        (ofCutter[cutter] as number) +
        0.5 * heavy();
      tests.push(
        boughtTest({
          testId: `t${k}`,
          store: `s${s}`,
          cutter: `s${s} c${cutter}`,
          cutDay: 20000 + Math.floor(25 * uniform()),
          grade: isSelect ? 'S' : 'G',
          supplier: supplier.name,
          weightClass: pieceKg < 9 ? 'light' : 'mid',
          meanPieceKg: pieceKg,
          drainedKg: pieceKg,
          billedKg: pieceKg / usable,
          valuePerKg,
        }),
      );
    }
  }
  const trueValue = (range: 'light' | 'mid', name: string): number => {
    const supplier = supplierOf.find((one) => one.name === name) as (typeof supplierOf)[number];
    // E |z| = sqrt(2 / pi)
    return (1 - supplier.purge - 0.003 * Math.sqrt(2 / Math.PI)) * (perDrained[range] + supplier.value);
  };
  return { tests, trueValue };
};

const codesOf = (names: readonly string[]): { codes: Int32Array; levels: string[] } => {
  const levels = [...new Set(names)].sort();
  const place = new Map(levels.map((name, k) => [name, k]));
  return { codes: Int32Array.from(names, (name) => place.get(name) as number), levels };
};

/** What buying needs of the tests, fitted by the night's own model; only value (and a flat saleable) is fitted. */
export const fittedInput = (tests: readonly MeasuredTest[]): OfferInput => {
  const supplier = codesOf(tests.map((test) => test.supplier));
  const flat = (share: number): Float64Array => new Float64Array(tests.length).fill(share);
  const actual = outcomes.map((outcome) =>
    outcome === 'value' ? Float64Array.from(tests, (test) => test.valuePerKg) : flat(0),
  );
  const problem = {
    method: tests.map(() => 'steaks'),
    grade: tests.map((test) => test.grade),
    store: codesOf(tests.map((test) => test.store)).codes,
    cutter: codesOf(tests.map((test) => test.cutter)).codes,
    supplier: supplier.codes,
    delivery: new Int32Array(tests.length).fill(-1),
    pieceKg: Float64Array.from(tests, (test) => test.meanPieceKg),
    pieces: flat(1),
    day: Float64Array.from(tests, (test) => test.cutDay),
    actual,
  };
  const fit = yieldFit(problem);
  const model = weightModel(problem, fit, { item: 'rib', spec: '', treatment: '' }, supplier.levels);
  const one = { ...(model.outcomes.value as NonNullable<typeof model.outcomes.value>) };
  const known = {
    ...one,
    coefficients: one.coefficients.map((_, k) => (k === 0 ? 0.8 : 0)),
    covariance: one.covariance.map(() => 0),
    unseen: 0,
  };
  return {
    used: tests,
    outputs: tests.map((test) => boughtLine(test)),
    modeled: {
      weightModels: [{ ...model, outcomes: { ...model.outcomes, saleable: known, main_cut: known } }],
    },
    chain: boughtSettings,
  };
};

/** The stores drawn again with replacement, each draw a store of its own with its own cutters. */
export const storesDrawnAgain = (tests: readonly MeasuredTest[], seed: number): MeasuredTest[] => {
  const { uniform } = seededDraws(seed, 2);
  const byStore = new Map<string, MeasuredTest[]>();
  for (const test of tests) byStore.set(test.store, [...(byStore.get(test.store) ?? []), test]);
  const names = [...byStore.keys()];
  return names.flatMap((_, place) => {
    const chosen = names[Math.floor(uniform() * names.length)] as string;
    return (byStore.get(chosen) as MeasuredTest[]).map((test) => ({
      ...test,
      store: `d${place}`,
      cutter: `d${place} ${test.cutter}`,
    }));
  });
};
