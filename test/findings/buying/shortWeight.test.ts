import { describe, expect, it } from 'vitest';
import { claimLots } from '../../../src/findings/buying/claimLots.ts';
import { buyingFindings } from '../../../src/findings/buyingFindings.ts';
import { receivedQuestions } from '../../../src/findings/receivedQuestions.ts';
import type { MeasuredTest } from '../../../src/measure/measured.ts';
import { shortChainFile as chain, shortChain } from './shortChain.ts';

const asOfDay = 20_140;
const claims = (used: MeasuredTest[]) => buyingFindings(used, chain);
const claimed = (used: MeasuredTest[]): string[] => claims(used).map((row) => `${row.kind} ${row.about}`);
const questions = (used: MeasuredTest[], told: string[] = [], seenDay = asOfDay) =>
  receivedQuestions({ chain, asOfDay, used, seenDayOf: () => seenDay }, new Set(told));
const lotsOf = (used: MeasuredTest[]) => claimLots(used, claims(used), { chain, asOfDay });
const north = (percent: number) => (supplier: string) => (supplier === 'North' ? percent : 0);

describe('short weight, where a scale reads light', () => {
  const light = (store: string): number => (store === 's1' || store === 's2' ? 2 : 0);

  it('is claimed from nobody: the stores are asked about their scale', () => {
    const used = shortChain(({ store }) => light(store));
    expect(claimed(used)).toEqual([]);
    const asked = questions(used);
    expect(asked.map((row) => [row.kind, row.store, row.reader, row.status])).toEqual([
      ['scale-question', 's1', 'trainer', 'new'],
      ['scale-question', 's2', 'trainer', 'new'],
    ]);
    expect(asked[0]?.headline).toMatch(
      /^Store s1: what comes in weighs (1\.9\d?|2|2\.[01]\d?) % less than billed, from all 4 suppliers alike \(.*\), over 100 tests against -?0(\.\d+)? % in the other stores, same suppliers\. /,
    );
    expect(asked[0]?.step).toMatch(/^Check the scale with a known weight before anything is claimed/);
    expect(asked[0]?.effect).toBeCloseTo(2, 0);
  });

  it('is claimed from the supplier who is short everywhere, by the tests of the other stores', () => {
    const used = shortChain(({ store, supplier }) => light(store) + north(1.2)(supplier));
    const [claim, ...rest] = claims(used);
    expect(rest).toEqual([]);
    expect(claim).toMatchObject({ kind: 'short-weight', about: 'North', tests: 100 });
    expect(claim?.effect).toBeCloseTo(1.2, 0);
    expect(claim?.evidence.filter(({ store }) => light(store) > 0)).toEqual([]);
    // 100 tests of 90 in money each: 1.2 % less the allowed 0.25 % of it
    const lots = lotsOf(used);
    const paid = lots.reduce((sum, lot) => sum + lot.money, 0);
    expect(lots.reduce((sum, lot) => sum + lot.tests, 0)).toBe(100);
    expect(paid).toBeGreaterThan(100 * 90 * 0.0085);
    expect(paid).toBeLessThan(100 * 90 * 0.0105);
    expect(questions(used).map(({ store }) => store)).toEqual(['s1', 's2']);
  });

  it('is not asked about twice, and goes on where it was seen before', () => {
    const used = shortChain(({ store }) => light(store));
    expect(questions(used, ['s1']).map(({ store }) => store)).toEqual(['s2']);
    expect(questions(used, [], asOfDay - 1).map(({ status }) => status)).toEqual([
      'continuing',
      'continuing',
    ]);
  });

  it('and heavy ones elsewhere make no store light', () => {
    const used = shortChain(({ store }) => (store === 's1' ? 0 : -2));
    expect(questions(used)).toEqual([]);
    expect(claimed(used)).toEqual([]);
  });
});

describe('short weight, where scale and supplier cannot be told apart', () => {
  const alone = (store: string): string[] => (store === 's1' ? ['North'] : ['North', 'South', 'East']);

  it('is asked of a store with one supplier, and counts for no claim', () => {
    const used = shortChain(({ store }) => (store === 's1' ? 2 : 0), { suppliersOf: alone });
    expect(claimed(used)).toEqual([]);
    const [asked, ...rest] = questions(used);
    expect(rest).toEqual([]);
    expect(asked?.headline).toMatch(
      /^Store s1: .* from its one supplier North, so that scale and supplier cannot be told apart /,
    );
  });

  it('is claimed there too where the same supplier is as short in other stores', () => {
    const used = shortChain(({ supplier }) => north(1.2)(supplier), { suppliersOf: alone });
    expect(claimed(used)).toEqual(['short-weight North']);
    expect(questions(used)).toEqual([]);
    expect(lotsOf(used).reduce((sum, lot) => sum + lot.tests, 0)).toBeGreaterThan(240);
  });

  it('is asked of one store where all are short alike in all stores, and claimed from nobody', () => {
    const used = shortChain(() => 1.2);
    expect(claimed(used)).toEqual([]);
    const [asked, ...rest] = questions(used);
    expect(rest).toEqual([]);
    expect(asked?.headline).toContain(
      ' from all 4 suppliers alike and in other stores too, so that scale and supplier cannot be told apart ',
    );
  });

  it('is asked of one store for each supplier where each store has one', () => {
    const regions = { suppliersOf: (store: string) => [store < 's4' ? 'North' : 'South'] };
    const used = shortChain(({ supplier }) => north(1.2)(supplier), regions);
    expect(claimed(used)).toEqual([]);
    expect(questions(used).map(({ store }) => store)).toEqual(['s1']);
    expect(questions(used)[0]?.headline).toContain(' from its one supplier North and in other stores too, ');
    const both = shortChain(() => 1.2, regions);
    expect(questions(both).map(({ store }) => store)).toEqual(['s1', 's4']);
  });

  it('is asked of a chain of one store', () => {
    const used = shortChain(() => 1.2, { stores: 1 });
    expect(claimed(used)).toEqual([]);
    expect(questions(used)[0]?.headline).toContain(
      ' from all 4 suppliers alike, so that scale and supplier cannot be told apart ',
    );
    expect(claimed(shortChain(({ supplier }) => north(1.2)(supplier), { stores: 1 }))).toEqual([
      'short-weight North',
    ]);
  });
});

describe('short weight of several suppliers', () => {
  it('is claimed from each: who is short is no measure for the next', () => {
    const used = shortChain(({ supplier }) => ({ North: 1.4, South: 0.6 })[supplier] ?? 0);
    expect(claimed(used)).toEqual(['short-weight North', 'short-weight South']);
    expect(questions(used)).toEqual([]);
  });
});

describe('single lots', () => {
  it('are claimed where they are surely short, though the supplier is not, with what they lost above the allowed', () => {
    const used = shortChain(({ lot }) => (lot === 'South-4' ? 3 : 0));
    const [claim, ...rest] = claims(used);
    expect(rest).toEqual([]);
    expect(claim?.headline).toMatch(
      /^South: boxes in lot South-4 arrive (2\.[89]\d?|3|3\.[012]\d?) points of billed weight short \(.*\) over 18 tests against the 0\.25 % allowed, which is not claimed\.$/,
    );
    const [lot, ...others] = lotsOf(used);
    expect(others).toEqual([]);
    expect(lot).toMatchObject({ lot: 'South-4', tests: 18, findingId: claim?.findingId });
    const lost = used.filter((test) => test.lot === 'South-4').reduce((sum, test) => sum + test.shortKg, 0);
    expect(lot?.money).toBeCloseTo((lost - 18 * 10 * 0.0025) * 9, 8);
  });

  it('do not vanish where more of a supplier are bad, up to where all of it is claimed', () => {
    for (const bad of [1, 2, 3, 4, 6, 8, 10]) {
      const isBad = (lot: string): boolean => Number(lot.replace('West-', '')) < bad;
      const used = shortChain(({ lot }) => (isBad(lot) ? 3 : 0));
      expect(claimed(used)).toEqual(['short-weight West']);
      const named = lotsOf(used).map(({ lot }) => lot);
      expect([...named].sort()).toEqual(Array.from({ length: bad }, (_, k) => `West-${k}`).sort());
    }
  });

  it('are named by the three with the most tests where there are more', () => {
    const used = shortChain(({ supplier, lot }) => (supplier === 'East' && /[1-4]$/.test(lot) ? 3 : 0));
    expect(claims(used.filter((test) => test.lot !== 'East-0'))[0]?.says).toMatch(
      /^Boxes in 4 lots \(East-\d, East-\d, East-\d and 1 more\) arrive /,
    );
  });

  it('are not those that one store weighed after its scale changed', () => {
    const changed = shortChain(({ store, day }) => (store === 's3' && day >= 125 ? 2 : 0)).map((test) => ({
      ...test,
      lot: `${test.lot}-${test.store}`,
    }));
    expect(claimed(changed)).toEqual([]);
  });

  it('are not those with one mistyped weight, nor tests without a lot', () => {
    const used = shortChain(() => 0);
    const [first] = used.filter((test) => test.lot === 'East-3');
    const mistyped = used.map((test) => (test === first ? { ...test, shortKg: 4 } : test));
    expect(claimed(mistyped)).toEqual([]);
    const nameless = shortChain(({ lot }) => (lot === 'South-4' ? 3 : 0)).map((test) => ({
      ...test,
      lot: '',
    }));
    expect(claimed(nameless)).toEqual([]);
  });
});

describe('clean chains', () => {
  it('are claimed from and asked about in none of 20, with two light scales or without', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const clean = shortChain(() => 0, { seed });
      expect([claimed(clean), questions(clean)]).toEqual([[], []]);
      const light = shortChain(({ store }) => (store < 's3' ? 2 : 0), { seed });
      expect([claimed(light), questions(light).map(({ store }) => store)]).toEqual([[], ['s1', 's2']]);
    }
  });
});
