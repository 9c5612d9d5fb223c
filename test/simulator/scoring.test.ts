import { describe, expect, it } from 'vitest';
import { outcomes } from '../../src/catalog/outcomes.ts';
import type { FindingRow, FoundNight } from '../../src/findings/found.ts';
import type { EffectRow, ModeledNight } from '../../src/model/modeled.ts';
import { isoFromDay } from '../../src/units/calendarDay.ts';
import { habits } from './compositions.ts';
import { type Figures, summaryOf } from './figures.ts';
import { scoreChange } from './scoreChange.ts';
import { adWeekMoves, scoreFindings, weeklyKg } from './scoreFindings.ts';
import { scoreModel } from './scoreModel.ts';
import { scoreReview } from './scoreReview.ts';
import { simulateChain } from './simulateChain.ts';
import type { SimChain } from './simulated.ts';
import { referenceOf } from './simulatedFolder.ts';
import { measuredNight } from './simulatedTables.ts';
import { presentTruthsOf, truthsOf } from './truths.ts';

/** A third of the usual chain, with as many tests a cutter. */
const third = { stores: 20, cutters: 75, tests: 5000 };
const of = (figures: Figures, name: string): number => {
  const figure = figures[name];
  if (figure === undefined) throw new Error(`no figure ${name}`);
  return summaryOf([figure]).value;
};

/** A model that knows the truth, `off` points beside it with a 95 % interval of `reach` to both sides. */
const knowing = (sim: SimChain, { off, reach }: { off: number; reach: number }): ModeledNight => {
  const { cutters, stores } = truthsOf(sim);
  const rows = (kind: EffectRow['kind'], truths: typeof cutters): EffectRow[] =>
    [...truths].flatMap(([key, { tests, effects }]) =>
      outcomes.map((outcome) => {
        const effect = effects[outcome] + off;
        return {
          kind,
          id: key.split(' ')[0],
          item: key.split(' ')[1],
          store: '',
          outcome,
          tests,
          effect,
          low: effect - reach,
          high: effect + reach,
          chanceBeyond: Math.abs(effects[outcome]) > 1 ? 1 : 0,
          status: 'ok',
          difference: effect,
          differenceSd: 1,
        } as EffectRow;
      }),
    );
  return { effects: [...rows('cutter-item', cutters), ...rows('store-item', stores)], curves: [] } as never;
};

/** A finding on every cell with a habit, as one who knows the truth would write it. */
const allHabits = (sim: SimChain): FindingRow[] => {
  const truths = truthsOf(sim).cutters;
  const kgOf = weeklyKg(sim);
  return sim.cutters.flatMap((cutter) =>
    (cutter.habit?.items ?? []).flatMap((item) => {
      const truth = truths.get(`${cutter.cutter} ${item}`);
      if (truth === undefined || cutter.habit === undefined) return [];
      const { kinds, outcome } = habits[cutter.habit.kind];
      const kg = kgOf.get(`${cutter.cutter} ${item}`) as number;
      const money = -truth.effects.value * kg;
      return [
        {
          kind: kinds[0],
          store: cutter.home.store,
          cutter: cutter.cutter,
          item,
          outcome,
          effect: truth.effects[outcome],
          moneyPerWeek: money,
          moneyLow: money - 1e-6 * Math.abs(money) - 1e-9,
          moneyHigh: money + 1e-6 * Math.abs(money) + 1e-9,
          evidence: [],
        } as unknown as FindingRow,
      ];
    }),
  );
};
const found = (findings: FindingRow[]): FoundNight => ({ findings }) as never;
const saying = (kind: string, cutter: string, more: Partial<FindingRow> = {}): FindingRow =>
  ({ kind, cutter, store: '', item: '', outcome: 'saleable', evidence: [], ...more }) as never;

describe('the score of a model', () => {
  const sim = simulateChain(11, 'base', third);
  it('is full for one that knows the truth', () => {
    const figures = scoreModel(sim, knowing(sim, { off: 0, reach: 0.01 }));
    expect(of(figures, 'RMSE saleable, points')).toBe(0);
    expect(of(figures, 'Spearman saleable')).toBeCloseTo(1, 12);
    expect(of(figures, 'coverage saleable')).toBe(1);
    expect(of(figures, 'coverage habit cells')).toBe(1);
    expect(of(figures, 'flagged beyond threshold')).toBe(1);
    expect(of(figures, 'closure, largest')).toBeLessThan(1e-9);
    expect(of(figures, 'chance less seen, 0.0-0.1')).toBeCloseTo(0, 12);
  });
  it('sees a shift, an interval that is too short, and effects that do not close', () => {
    const figures = scoreModel(sim, knowing(sim, { off: 0.5, reach: 0.1 }));
    expect(of(figures, 'RMSE saleable, points')).toBeCloseTo(0.5, 9);
    expect(of(figures, 'RMSE saleable, item means apart')).toBeCloseTo(0, 9);
    expect(of(figures, 'coverage saleable')).toBe(0);
    expect(of(figures, 'closure, largest')).toBeGreaterThan(1);
  });
});

describe('the score of findings', () => {
  it("shares a store's volume out whole among its cutters", () => {
    const own = simulateChain(18, 'base', { stores: 5, cutters: 20, tests: 1000 });
    const total = [...weeklyKg(own).values()].reduce((sum, kg) => sum + kg, 0);
    const volumes = new Map(
      referenceOf(own).volumes.map((row) => [`${row.store} ${row.item}`, row.weightKg]),
    );
    expect(total).toBeCloseTo(
      [...volumes.values()].reduce((sum, kg) => sum + kg, 0),
      6,
    );
  });

  const sim = simulateChain(12, 'base', { ...third, habitShare: 0.5 });
  const all = allHabits(sim);
  it('is full for one that knows the truth', () => {
    const figures = scoreFindings(sim, found(all));
    expect(all.length).toBeGreaterThan(50);
    expect(of(figures, 'large habits shown')).toBe(1);
    expect(of(figures, 'right kind of true hits')).toBe(1);
    expect(of(figures, 'money interval holds the truth')).toBe(1);
    expect(of(figures, 'person findings right')).toBeGreaterThan(0.95);
  });
  it('sees what is left out, misnamed, made up and paid wrong', () => {
    const half = scoreFindings(sim, found(all.filter((_, k) => k % 2 === 0)));
    expect(of(half, 'large habits shown')).toBeGreaterThan(0.35);
    expect(of(half, 'large habits shown')).toBeLessThan(0.65);
    const misnamed = all.map((row) => ({ ...row, kind: 'portion-drift', moneyLow: 0, moneyHigh: 0 }));
    expect(of(scoreFindings(sim, found(misnamed)), 'right kind of true hits')).toBe(0);
    expect(of(scoreFindings(sim, found(misnamed)), 'money interval holds the truth')).toBe(0);
    const madeUp = all.map((row) => ({ ...row, effect: -row.effect }));
    expect(of(scoreFindings(sim, found(madeUp)), 'person findings right')).toBe(0);
  });
  it('counts persons in rooms and alone in a store', () => {
    const rooms = simulateChain(13, 'room', third);
    const cutter = rooms.cutters.find((own) => own.home.room !== undefined);
    const own = saying('over-trimming', cutter?.cutter as string, {
      item: cutter?.home.room?.item as string,
    });
    const inRooms = rooms.cutters.filter((one) => one.home.room !== undefined).length;
    expect(of(scoreFindings(rooms, found([own])), 'persons named wrongly in room-habit rooms')).toBeCloseTo(
      1 / inRooms,
      12,
    );
    const truths = presentTruthsOf(rooms);
    const [who, truth] = rooms.cutters
      .filter((one) => one.home.room !== undefined)
      .map((one) => {
        const known = truths.get(`${one.cutter} ${one.home.room?.item}`);
        return [one, known?.effects.saleable ?? 0] as const;
      })
      .reduce((far, next) => (Math.abs(next[1]) > Math.abs(far[1]) ? next : far));
    expect(Math.abs(truth)).toBeGreaterThan(1);
    const right = saying('tare-question', who.cutter, { item: who.home.room?.item as string, effect: truth });
    expect(of(scoreFindings(rooms, found([right])), 'persons named wrongly in room-habit rooms')).toBe(0);
    const lone = simulateChain(13, 'onecutter', { ...third, loneStores: 8 });
    const one = saying('over-trimming', lone.cutters[0]?.cutter as string);
    expect(of(scoreFindings(lone, found([one])), 'persons named alone in a store')).toBeCloseTo(1 / 8, 12);
  });
  it('sees money that moves with an ad week', () => {
    const moved = all.map((row, k) => (k === 0 ? { ...row, moneyPerWeek: row.moneyPerWeek * 1.1 } : row));
    expect(adWeekMoves(found(all), found(all)).every((move) => move === 0)).toBe(true);
    expect(Math.max(...adWeekMoves(found(all), found(moved)))).toBeGreaterThan(0);
    expect(Math.max(...adWeekMoves(found(all), found(all.slice(1))))).toBe(1);
  });
});

describe('the score of the review', () => {
  const sim = simulateChain(14, 'base', { stores: 20, cutters: 60, tests: 3000, errorShare: 0.1 });
  const labels = [...new Set(sim.tests.map(({ label }) => label))];
  const measured = measuredNight(sim, labels);
  const labelOf = new Map(sim.tests.map((test) => [test.testId, test.label]));
  const withStates = (stateOf: (testId: string) => string) => ({
    tests: measured.tests.assign({ state: (measured.tests.array('testId') as string[]).map(stateOf) }),
    outputs: measured.outputs,
  });
  it('is full when all that is wrong is held, and empty when nothing is', () => {
    const held = withStates((id) => (labelOf.get(id) === 'good' ? 'used' : 'held'));
    const figures = scoreReview(sim, held, found([]));
    expect(of(figures, 'caught: swapped')).toBe(1);
    expect(of(figures, 'good tests set aside')).toBe(0);
    const none = scoreReview(
      sim,
      withStates(() => 'used'),
      found([]),
    );
    expect(of(none, 'caught: copied')).toBe(0);
    const all = scoreReview(
      sim,
      withStates(() => 'held'),
      found([]),
    );
    expect(of(all, 'good tests set aside')).toBe(1);
  });
  it('holds repairs against the sheet before it was spoiled', () => {
    const repaired = withStates((id) => (labelOf.get(id) === 'ounces' ? 'repaired' : 'used'));
    const behind = sim.tests.find(({ label }) => label === 'ounces');
    const finding = saying('over-trimming', '', { evidence: [{ testId: behind?.testId }] as never });
    const wrong = scoreReview(sim, repaired, found([finding]));
    expect(of(wrong, 'repairs that are wrong')).toBe(1);
    expect(of(wrong, 'findings with a wrong repair behind them')).toBe(1);
    const mended = { ...sim, tests: sim.tests.map((test) => ({ ...test, ...test.asWeighed })) };
    const right = measuredNight(mended, labels);
    const states = repaired.tests.array('state') as string[];
    const figures = scoreReview(
      sim,
      { tests: right.tests.assign({ state: states }), outputs: right.outputs },
      found([finding]),
    );
    expect(of(figures, 'repairs that are wrong')).toBe(0);
    expect(of(figures, 'findings with a wrong repair behind them')).toBe(0);
  });
});

describe('the score of change', () => {
  it('counts shifts found, their date, and alarms on steady cutters', () => {
    const sim = simulateChain(15, 'drift', third);
    const shifted = sim.cutters.filter((cutter) => cutter.drift !== undefined);
    const drifts = shifted.map(({ cutter, drift }) =>
      saying('drift', cutter, { since: isoFromDay(drift?.day as number), effect: drift?.size as number }),
    );
    const figures = scoreChange(sim, found(drifts));
    expect(shifted.length).toBeGreaterThan(8);
    expect(of(figures, 'drift found')).toBe(1);
    expect(of(figures, 'drift date off by more than 4 tests')).toBe(0);
    expect(of(figures, 'false drift per 300 cutter-months')).toBe(0);
    const late = drifts.map((row) => ({ ...row, since: isoFromDay(sim.asOfDay) }));
    expect(of(scoreChange(sim, found(late)), 'drift date off by more than 4 tests')).toBe(1);
    const turned = drifts.map((row) => ({ ...row, effect: -row.effect }));
    expect(of(scoreChange(sim, found(turned)), 'drift found')).toBe(0);
    const everyone = sim.cutters.map(({ cutter }) => saying('drift', cutter, { since: '2026-05-01' }));
    expect(of(scoreChange(sim, found(everyone)), 'false drift per 300 cutter-months')).toBeCloseTo(
      300 / 14,
      9,
    );
  });
  it('tells true improvement from coaching that changed nothing', () => {
    const sim = simulateChain(16, 'coaching', third);
    const coached = sim.cutters.filter((cutter) => cutter.coached?.isControl === false);
    const improved = coached.filter(({ coached: own }) => (own?.gain ?? 0) > 0 || own?.curesHabit);
    const right = scoreChange(sim, found(improved.map(({ cutter }) => saying('improved', cutter))));
    expect(of(right, 'improved called improved')).toBe(1);
    expect(of(right, 'no effect called improved')).toBe(0);
    const all = scoreChange(sim, found(coached.map(({ cutter }) => saying('improved', cutter))));
    expect(of(all, 'no effect called improved')).toBe(1);
  });
  it('counts inventors asked and honest cutters asked', () => {
    const sim = simulateChain(17, 'inventors', third);
    const inventors = sim.cutters.filter((cutter) => cutter.inventor);
    const honest = sim.cutters.find((cutter) => !cutter.inventor)?.cutter as string;
    const asked = [...inventors.map(({ cutter }) => cutter), honest];
    const figures = scoreChange(sim, found(asked.map((cutter) => saying('weights-not-weighed', cutter))));
    expect(of(figures, 'unweighed tests found')).toBe(1);
    expect(of(figures, 'honest cutters asked, per 3000')).toBeCloseTo(3000 / (75 - inventors.length), 9);
  });
});
