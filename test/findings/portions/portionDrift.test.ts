import { describe, expect, it } from 'vitest';
import type { Chain } from '../../../src/catalog/chain.ts';
import { portionDrift } from '../../../src/findings/portions/portionDrift.ts';
import { outOfSpec, shareOut, togetherness } from '../../../src/findings/portions/portionShares.ts';
import type { MeasuredTest } from '../../../src/measure/measured.ts';
import type { NormalizedPortion } from '../../../src/normalize/normalized.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { boughtTest, findingChain } from '../buying/boughtChain.ts';

const targetKg = 0.34;
const toleranceKg = 0.02;
const asOfDay = 400;
const chain = {
  ...findingChain('kg'),
  items: [
    { item: 'rib', spec: '', portions: [{ output: 'steak', weight: targetKg, tolerance: toleranceKg }] },
  ],
} as unknown as Chain;

/** Six cutters of 14 tests of 8 steaks, one every 25 days; `offKg` shifts the mean of c-0 by day. SD of a steak 12 g. */
const sliced = (offKg: (day: number) => number, seed = 1, spreadKg = 0.012) => {
  const draws = seededDraws(seed, 91);
  const used: MeasuredTest[] = [];
  const portions: NormalizedPortion[] = [];
  for (let cutter = 0; cutter < 6; cutter++)
    for (let t = 0; t < 14; t++) {
      const cutDay = 25 * t + 1;
      const testId = `${cutter}-${String(t).padStart(2, '0')}`;
      used.push(boughtTest({ testId, cutter: `c-${cutter}`, cutDay }));
      const ofTest = 0.003 * draws.normal() + (cutter === 0 ? offKg(cutDay) : 0);
      for (let piece = 0; piece < 8; piece++)
        portions.push({
          store: 's1',
          testId,
          output: 'steak',
          piece: String(piece),
          weightKg: targetKg + ofTest + spreadKg * draws.normal(),
          thicknessIn: Number.NaN,
          sourceFile: 'f',
          sourceLine: piece,
        });
    }
  return { used, portions };
};

const found = (
  made: ReturnType<typeof sliced>,
  over: { chain?: Chain; seenDayOf?: (test: MeasuredTest) => number } = {},
) => portionDrift({ chain, asOfDay, seenDayOf: (test) => test.cutDay, ...made, ...over });

describe('pieces out of spec', () => {
  const test = (pieces: number, heavy: number, light = 0) => ({ pieces, heavy, light });
  it('shrinks a share to what the others do (worked by hand: 6 prior pieces at 10 %, 10 of 20 out)', () => {
    const told = outOfSpec([test(20, 8, 2)], { others: 0.1, times: 1 });
    expect(told.mean).toBeCloseTo((0.6 + 10 + 0.5) / 27, 12);
    expect(told.limit).toBeCloseTo(0.2, 12);
    expect(told.low).toBeLessThan(told.mean);
    expect(told.high).toBeGreaterThan(told.mean);
    expect(told.chance).toBeGreaterThan(0.97);
  });
  it('asks nobody where the others are as far out, and knows little from few pieces', () => {
    expect(outOfSpec([test(20, 10)], { others: 0.5, times: 1 }).chance).toBeLessThan(0.25);
    expect(outOfSpec([], { others: 0.1, times: 1 }).chance).toBeLessThan(0.5);
    const [few, many] = [1, 4].map((n) => outOfSpec(Array(n).fill(test(10, 4)), { others: 0.05, times: 1 }));
    expect(many?.chance).toBeGreaterThan(few?.chance as number);
  });
  it('counts pieces of one test for fewer where they vary together', () => {
    const apart = [[test(10, 5), test(10, 5), test(10, 5), test(10, 5)]];
    const together = [[test(10, 10), test(10, 0), test(10, 10), test(10, 0)]];
    expect(togetherness(apart)).toBe(1);
    expect(togetherness(together)).toBeCloseTo(40 / 3, 12);
    expect(togetherness([])).toBe(1);
    expect(shareOut(together.flat())).toBe(0.5);
  });
});

describe('portion drift', () => {
  it('names the cutter whose steaks weigh what is asked for and are too thick', () => {
    const { used, portions } = sliced(() => 0);
    const draws = seededDraws(1, 92);
    const thick = portions.map((portion) => ({
      ...portion,
      thicknessIn: (portion.testId.startsWith('0') ? 1.3 : 1) + 0.05 * draws.normal(),
    }));
    const target = { output: 'steak', weight: targetKg, tolerance: toleranceKg, thickness_in: 1 };
    const asked = { ...chain, items: [{ item: 'rib', spec: '', portions: [target] }] } as unknown as Chain;
    const [row, ...more] = found({ used, portions: thick }, { chain: asked });
    expect(more).toEqual([]);
    expect(row?.headline).toBe(
      'c-0 on rib: in 12 tests, 96 of 96 pieces of steak (100%) were too thick and none too thin, 1.30 in on average where 1.00 in is asked for; the other cutters miss on 0%. A question, not a verdict.',
    );
    expect(row?.comparedWith).toBe('the thickness asked for and the other cutters’ portions');
    expect(found({ used, portions: thick })).toEqual([]);
  });
  const heavy = found(sliced(() => 0.03));
  it('names the cutter whose steaks are too heavy, with the side and the mean', () => {
    expect(heavy.map((row) => [row.kind, row.reader, row.cutter, row.item])).toEqual([
      ['portion-drift', 'trainer', 'c-0', 'rib'],
    ]);
    const [row] = heavy;
    expect(row?.chance).toBeGreaterThan(0.99);
    expect(row?.low).toBeGreaterThan(10);
    expect(row?.evidence.every(({ testId }) => testId.startsWith('0-'))).toBe(true);
    expect(row?.headline).toMatch(
      /: in 12 tests, \d\d of 96 pieces of steak \(\d\d%\) were too heavy and none too light, 37\d\.\d g on average where 340\.0 g is asked for; the other cutters miss on \d+%\./,
    );
    expect(row?.headline).toContain('A question, not a verdict.');
  });
  it('names one whose steaks are right on average and uneven', () => {
    const made = sliced(() => 0);
    const portions = made.portions.map((portion, i) =>
      portion.testId.startsWith('0-')
        ? { ...portion, weightKg: targetKg + (i % 2 === 0 ? 0.04 : -0.04) }
        : portion,
    );
    const uneven = found({ ...made, portions });
    expect(uneven.map((row) => row.cutter)).toEqual(['c-0']);
    expect(uneven[0]?.says).toContain('48 of 96 pieces of steak (50%) were too heavy and 48 (50%) too light');
  });
  it('names nobody where all cut alike, well or badly, in 40 chains', () => {
    const chains = Array.from({ length: 40 }, (_, seed) => seed + 10);
    expect(chains.flatMap((seed) => found(sliced(() => 0, seed)))).toEqual([]);
    const sloppy = chains.flatMap((seed) => found(sliced(() => 0, seed, 0.03)));
    // 240 cutters, a chance of 0.9 asked of each
    expect(sloppy.length).toBeLessThanOrEqual(4);
  });
  it('is new on the night whose tests raise it, then continuing, and gone once mended', () => {
    const late = sliced((day) => (day > 200 ? 0.03 : 0));
    const [row] = found(late, { seenDayOf: () => asOfDay - 1 });
    expect(row?.status).toBe('continuing');
    expect(Number(row?.since.slice(5, 7))).toBeGreaterThan(7);
    expect(found(late, { seenDayOf: () => asOfDay })[0]?.status).toBe('new');
    const mended = sliced((day) => (day < 100 ? 0.03 : 0));
    expect(found(mended)).toEqual([]);
  });
  it('says nothing without a spec, with few pieces or tests not used', () => {
    const made = sliced(() => 0.03);
    const bare = { ...chain, items: [{ ...chain.items[0], portions: [] }] } as unknown as Chain;
    expect(found(made, { chain: bare })).toEqual([]);
    expect(found({ ...made, used: [] })).toEqual([]);
    expect(found({ ...made, portions: made.portions.filter(({ piece }) => piece === '0') })).toEqual([]);
  });
  it('does not depend on the order of rows or the unit of the chain', () => {
    const made = sliced(() => 0.03);
    const turned = { used: [...made.used].reverse(), portions: [...made.portions].reverse() };
    expect(found(turned)).toEqual(heavy);
    const lb = {
      ...chain,
      unit: 'lb',
      items: [
        {
          ...chain.items[0],
          portions: [{ output: 'steak', weight: targetKg / 0.45359237, tolerance: toleranceKg / 0.45359237 }],
        },
      ],
    } as unknown as Chain;
    expect(found(made, { chain: lb })[0]?.effect).toBeCloseTo(heavy[0]?.effect as number, 9);
  });
});
