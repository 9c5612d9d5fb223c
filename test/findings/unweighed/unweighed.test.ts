import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { timeLevels } from '../../../src/findings/change/timeLevels.ts';
import { endDigits } from '../../../src/findings/unweighed/endDigits.ts';
import { perfectBalance } from '../../../src/findings/unweighed/perfectBalance.ts';
import { repeatedShares } from '../../../src/findings/unweighed/repeatedShares.ts';
import { scaleSteps } from '../../../src/findings/unweighed/scaleSteps.ts';
import { sheetsOf } from '../../../src/findings/unweighed/sheets.ts';
import { smallSpread } from '../../../src/findings/unweighed/smallSpread.ts';
import { unweighedFindings } from '../../../src/findings/unweighed/unweighedFindings.ts';
import type { MeasuredOutput, MeasuredTest } from '../../../src/measure/measured.ts';
import type { StoreRow } from '../../../src/normalize/normalized.ts';
import { kgPerLb } from '../../../src/units/weight.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { type MadeTest, madePeople } from '../change/timeSeries.ts';

const chain = { language: 'en-US', currency: 'USD' } as Chain;
type Way =
  | 'weighed'
  | 'last sheet again'
  | 'round'
  | 'tidy'
  | 'whole pounds'
  | 'halves'
  | 'some by hand'
  | 'careful'
  | 'steady'
  | 'quarters'
  | 'adds up'
  | 'own scale'
  | 'off the scale';

const stepOf: Partial<Record<Way, number>> = {
  round: 0.25,
  tidy: 0.1,
  'whole pounds': 1,
  halves: 0.5,
  quarters: 0.25,
  'own scale': 0.05,
  'off the scale': 0.227,
};

/** 10 stores of 5 cutters, 45 tests each of one item; `wayOf` says how a sheet came about. Even stores have a 0.05 lb scale. */
const madeSheets = (seed: number, wayOf: (cutter: number, k: number) => Way) => {
  const draws = seededDraws(seed, 4);
  const tests: MeasuredTest[] = [];
  const outputs: MeasuredOutput[] = [];
  for (let cutter = 0; cutter < 50; cutter++) {
    let last = [70, 6, 12, 10.8];
    for (let k = 0; k < 45; k++) {
      const store = cutter % 10;
      const scale = store % 2 === 0 ? 0.05 : 0.01;
      const way = wayOf(cutter, k);
      const drained = Math.round((11 + 3 * draws.uniform()) / scale) * scale;
      const hand = way === 'steady' ? 0.5 : 1;
      const sold = 1.9 * draws.normal() * hand;
      const honest = [
        70 + 0.85 * sold + 0.8 * draws.normal() * hand,
        6 + 0.5 * draws.normal() * hand,
        12 + 0.8 * draws.normal() * hand,
        10.8 - 0.88 * sold + 0.3 * draws.normal() * hand,
      ];
      // next to nothing is lost
      if (way === 'careful') honest[0] = 99.9 - honest.slice(1).reduce((sum, share) => sum + share, 0);
      const isOwn = way !== 'round' && way !== 'last sheet again';
      const shares = isOwn ? honest : last;
      if (isOwn) last = honest;
      const step = stepOf[way] ?? scale;
      const weights = shares.map((share) => Math.round((share * drained) / 100 / step) * step);
      if (way === 'some by hand')
        for (const line of [0, 1, 3].filter((each) => each === 0 || draws.uniform() < 0.7))
          weights[line] = Math.round((weights[line] as number) / 0.25) * 0.25;
      // the main cut is what the other lines leave
      if (way === 'tidy' || way === 'adds up')
        weights[0] = drained - weights.slice(1).reduce((sum, weight) => sum + weight, 0);
      const yields = weights.map((weight) => weight / drained);
      const testId = `t${String(cutter * 100 + k).padStart(5, '0')}`;
      tests.push({
        store: `s-${store}`,
        testId,
        cutter: `c-${String(cutter).padStart(2, '0')}`,
        cutDay: 20000 + 8 * k + (cutter % 7),
        item: '180',
        spec: '',
        treatment: '',
        method: 'steaks',
        region: '',
        unit: 'lb',
        drainedKg: drained,
        mainCutYield: yields[0],
        otherCutYield: yields[1],
        leanTrimYield: yields[2],
        fatYield: yields[3],
        boneYield: 0,
        wasteYield: 0,
        unaccountedYield: 1 - yields.reduce((sum, value) => sum + value, 0),
        sourceFile: `s-${store}.csv`,
        sourceLine: 2,
        state: 'used',
      } as unknown as MeasuredTest);
      for (const [line, weight] of weights.entries())
        outputs.push({
          store: `s-${store}`,
          testId,
          output: `o${line}`,
          weightAsSent: Number(weight.toFixed(3)),
        } as MeasuredOutput);
    }
  }
  return { tests, outputs };
};
/** Levels of the same cutters, unremarkable. */
const levelsOf = (spreadOf: (cutter: number) => number = () => 1) => {
  const draws = seededDraws(3, 5);
  const made = Array.from({ length: 50 }, (_, cutter) =>
    Array.from(
      { length: 45 },
      (__, k): MadeTest => ({
        store: `s-${cutter % 10}`,
        cutter: `c-${String(cutter).padStart(2, '0')}`,
        item: '180',
        day: 20000 + 8 * k,
        points: 1.9 * draws.normal() * spreadOf(cutter),
      }),
    ),
  ).flat();
  return timeLevels(madePeople(made), { cutters: [], coaching: [] });
};
const plainLevels = levelsOf();
const scales = Array.from(
  { length: 10 },
  (_, store) =>
    ({ store: `s-${store}`, scaleDivisionKg: (store % 2 === 0 ? 0.05 : 0.01) * kgPerLb }) as StoreRow,
);
const given = new Map(scales.map((row) => [row.store, row.scaleDivisionKg]));
const unknownScales = new Map<string, number>();
const found = (made: ReturnType<typeof madeSheets>, seenDays: ReadonlyMap<string, number> = new Map()) =>
  unweighedFindings({
    chain,
    asOfDay: 20400,
    ...made,
    levels: plainLevels,
    stores: scales,
    seenDayOf: (test) => seenDays.get(test.sourceFile) ?? Number.NaN,
  });

describe('weights not weighed', () => {
  it('asks nobody where all weigh, on coarse and on fine scales', () => {
    for (const seed of [1, 2, 3]) expect(found(madeSheets(seed, () => 'weighed'))).toEqual([]);
  });

  it('asks about those who write a third of their sheets, with their tests as evidence', () => {
    const rows = found(
      madeSheets(4, (cutter, k) =>
        cutter === 3 || cutter === 7
          ? k % 3 === 0
            ? k % 2 === 0
              ? 'round'
              : 'last sheet again'
            : 'weighed'
          : 'weighed',
      ),
    );
    expect(rows.map((row) => row.cutter)).toEqual(['c-03', 'c-07']);
    expect(rows[0]).toMatchObject({
      kind: 'weights-not-weighed',
      status: 'continuing',
      store: 's-3',
      tests: 45,
    });
    expect(rows[0]?.evidence.length).toBeGreaterThan(8);
    expect(rows[0]?.headline).toContain('question');
  });

  // on a coarse scale a careful hand shows nearly as much
  it('asks about those who let a third of their sheets add up on a fine scale', () => {
    const rows = found(
      madeSheets(8, (cutter, k) => ((cutter === 3 || cutter === 8) && k % 3 === 0 ? 'tidy' : 'weighed')),
    );
    expect(rows.map((row) => row.cutter)).toEqual(['c-03']);
    expect(rows[0]?.headline).toMatch(/3\d% of the tests lose nothing at all/);
    const places = rows[0]?.evidence.map(({ testId }) => Number(testId.slice(1)) % 100) ?? [];
    expect(places.filter((k) => k % 3 === 0).length).toBeGreaterThan(9);
  });

  it('asks nobody where a whole room works out its last line', () => {
    expect(found(madeSheets(9, (cutter) => (cutter % 10 === 3 ? 'tidy' : 'weighed')))).toEqual([]);
  });

  it.each([
    ['whole pounds', 1],
    ['whole pounds', 2],
    ['adds up', 2],
  ] as const)(
    'asks about those of whom one kind of evidence leaves no doubt: %s, one sheet in %d',
    (way, every) => {
      const rows = found(madeSheets(11, (cutter, k) => (cutter === 3 && k % every === 0 ? way : 'weighed')));
      expect(rows.map((row) => row.cutter)).toEqual(['c-03']);
    },
  );

  it('names how round the weights are, and that they may be rounded by hand', () => {
    const [row] = found(
      madeSheets(16, (cutter, k) => (cutter === 3 && k % 2 === 0 ? 'quarters' : 'weighed')),
    );
    expect(row?.headline).toContain('weighed, or are weights rounded by hand?');
    expect(row?.headline).toMatch(
      /5\d% of the lines are whole multiples of 25 scale divisions \(the others there: 4%\)/,
    );
    expect(row?.headline).toContain('all lines of 22 tests are round');
  });

  it('asks about those who write a third of their sheets in half pounds, two mates in one store as well', () => {
    const rows = found(
      madeSheets(17, (cutter, k) => ([3, 13, 6].includes(cutter) && k % 3 === 0 ? 'halves' : 'weighed')),
    );
    expect(rows.map((row) => row.cutter)).toEqual(['c-03', 'c-06', 'c-13']);
  });

  it('asks about two who share a store alone and both write a third of their sheets', () => {
    const { tests, outputs } = madeSheets(18, (cutter, k) =>
      [3, 13].includes(cutter) && k % 3 === cutter % 3 ? 'halves' : 'weighed',
    );
    const pair = tests.filter(({ store, cutter }) => store !== 's-3' || ['c-03', 'c-13'].includes(cutter));
    expect(found({ tests: pair, outputs }).map((row) => row.cutter)).toEqual(['c-03', 'c-13']);
  });

  it.each([
    ['with a scale of half pounds', (): Way => 'halves'],
    ['with a scale of quarters from one day on', (k: number): Way => (k > 25 ? 'quarters' : 'weighed')],
    ['with a scale of quarters until one day', (k: number): Way => (k > 25 ? 'weighed' : 'quarters')],
    ['who loses next to nothing', (): Way => 'careful'],
    ['with a steady hand', (): Way => 'steady'],
    ['who rounds some lines by hand', (): Way => 'some by hand'],
  ])('does not ask one %s', (_, wayOf) => {
    for (const seed of [19, 20, 21])
      expect(
        found(madeSheets(seed, (cutter, k) => (cutter === 3 || cutter === 8 ? wayOf(k) : 'weighed'))),
      ).toEqual([]);
  });

  it('does not ask one who has a coarser scale than the others', () => {
    expect(found(madeSheets(12, (cutter) => (cutter === 3 ? 'own scale' : 'weighed')))).toEqual([]);
  });

  it('asks no mate of one who writes weights that no scale shows', () => {
    const rows = found(madeSheets(13, (cutter) => (cutter === 3 ? 'off the scale' : 'weighed')));
    expect(rows.filter((row) => row.cutter !== 'c-03')).toEqual([]);
  });

  it('does not ask about a few copied sheets', () => {
    expect(
      found(madeSheets(5, (cutter, k) => (cutter === 3 && k % 20 === 7 ? 'last sheet again' : 'weighed'))),
    ).toEqual([]);
  });

  it('is new on the night when the sheets that tell it come in', () => {
    const made = madeSheets(4, (cutter, k) =>
      cutter === 3 && k % 3 === 0 ? (k % 2 === 0 ? 'round' : 'last sheet again') : 'weighed',
    );
    expect(found(made, new Map([['s-3.csv', 20400]]))[0]?.status).toBe('new');
  });

  it('says nothing below 20 tests or without tests', () => {
    const made = madeSheets(4, (cutter, k) => (cutter === 3 && k % 2 === 1 ? 'round' : 'weighed'));
    expect(
      found({ ...made, tests: made.tests.filter((test) => test.cutter !== 'c-03' || test.cutDay < 20120) }),
    ).toEqual([]);
    expect(found({ tests: [], outputs: [] })).toEqual([]);
  });
});

describe('scaleSteps', () => {
  const stepsOf = (wayOf: (cutter: number, k: number) => Way, known = unknownScales) => {
    const { tests, outputs } = madeSheets(14, wayOf);
    const all = sheetsOf(tests, outputs);
    return all.stores.map((store, code) => [store, scaleSteps(all, known)[code]] as const);
  };

  it('is read off the lines of most cutters where none is given', () => {
    const spoiled = stepsOf((cutter) =>
      cutter < 10 ? 'off the scale' : cutter < 20 ? 'whole pounds' : 'weighed',
    );
    for (const [store, step] of spoiled) expect(step).toBe(Number(store.slice(2)) % 2 === 0 ? 0.05 : 0.01);
  });

  it('is read in grams as well', () => {
    const { tests, outputs } = madeSheets(14, () => 'weighed');
    const all = sheetsOf(
      tests.map((test) => ({ ...test, unit: 'g' })),
      outputs.map((line) => ({ ...line, weightAsSent: Math.round(line.weightAsSent * 1000) })),
    );
    const steps = scaleSteps(all, unknownScales);
    for (const [code, store] of all.stores.entries())
      expect(steps[code]).toBe(Number(store.slice(2)) % 2 === 0 ? 50 : 10);
  });

  it('is the one given, but where most lines show a coarser one', () => {
    const fine = new Map([...given].map(([store]) => [store, 0.01 * kgPerLb]));
    for (const [store, step] of stepsOf(() => 'weighed', fine))
      expect(step).toBe(Number(store.slice(2)) % 2 === 0 ? 0.05 : 0.01);
    for (const [, step] of stepsOf(
      () => 'weighed',
      new Map([...given].map(([store]) => [store, 0.1 * kgPerLb])),
    ))
      expect(step).toBe(0.1);
  });

  it('is not taken from the whole pounds of one who cuts alone', () => {
    const { tests, outputs } = madeSheets(15, (cutter) => (cutter === 3 ? 'whole pounds' : 'weighed'));
    const alone = sheetsOf(
      tests.filter((test) => test.store !== 's-3' || test.cutter === 'c-03'),
      outputs,
    );
    expect(scaleSteps(alone, given)[alone.stores.indexOf('s-3')]).toBe(0.01);
  });
});

describe('evidence', () => {
  it('of end digits is none on a coarse scale that the whole store shares', () => {
    const { tests, outputs } = madeSheets(6, () => 'weighed');
    const all = sheetsOf(tests, outputs);
    const p = endDigits(all, scaleSteps(all, unknownScales)).map((own) => own.p);
    expect(Math.min(...p)).toBeGreaterThan(1e-4);
    expect(p.filter(Number.isNaN)).toEqual([]);
  });

  it('of perfect balance is held against what the scale division brings about by itself', () => {
    const { tests, outputs } = madeSheets(10, (cutter, k) =>
      (cutter === 3 || cutter === 8) && k % 3 === 0 ? 'tidy' : 'weighed',
    );
    const all = sheetsOf(tests, outputs);
    const evidence = perfectBalance(all, scaleSteps(all, given));
    expect(evidence[3]?.e).toBeGreaterThan(1e5);
    expect(evidence[8]?.e).toBeGreaterThan(20);
    // hundredths seldom balance by chance, five hundredths more often
    expect(evidence[1]?.expected).toBeLessThan(0.03);
    expect(evidence[0]?.expected).toBeGreaterThan(0.05);
    const honest = evidence.filter((_, cutter) => cutter !== 3 && cutter !== 8);
    expect(Math.max(...honest.map((own) => own.e))).toBeLessThan(2);
  });

  it('of repeats does not depend on the unit of weight', () => {
    const { tests, outputs } = madeSheets(7, (cutter, k) =>
      cutter === 1 && k % 4 === 1 ? 'last sheet again' : 'weighed',
    );
    const evidenceIn = (unit: string) => {
      const per = unit === 'lb' ? 1 : 1000 * kgPerLb;
      const all = sheetsOf(
        tests.map((test) => ({ ...test, unit, drainedKg: test.drainedKg * kgPerLb })),
        outputs.map((line) => ({ ...line, weightAsSent: line.weightAsSent * per })),
      );
      const step = all.stores.map(
        (store) => (given.get(store) as number) / (unit === 'lb' ? kgPerLb : 0.001),
      );
      return repeatedShares(all, step).map((own) => Math.log(own.e));
    };
    const [pounds, grams] = [evidenceIn('lb'), evidenceIn('g')];
    for (const [cutter, own] of pounds.entries()) expect(grams[cutter]).toBeCloseTo(own, 6);
    expect(pounds[1]).toBeGreaterThan(Math.log(100));
  });

  it('of small spread finds the one whose tests differ too little', () => {
    const levels = levelsOf((cutter) => (cutter === 5 ? 0.3 : 1));
    const evidence = smallSpread(levels.people, levels.scale);
    expect(evidence[5]?.spread).toBeLessThan(0.001);
    expect(evidence.filter((own) => own.spread < 0.001)).toHaveLength(1);
  });
});
