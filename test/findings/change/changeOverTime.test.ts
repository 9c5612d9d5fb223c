import { describe, expect, it } from 'vitest';
import { learningCurve } from '../../../src/findings/change/learningCurve.ts';
import { monthShifts } from '../../../src/findings/change/monthShifts.ts';
import type { FindingRow } from '../../../src/findings/found.ts';
import type { WeeklyShare } from '../../../src/findings/weeklyShares.ts';
import { seededDraws } from '../../simulator/seededDraws.ts';
import { chain, coachedOn, days, event, firstDay, judged, type Made, madeChain } from './judgedChange.ts';
import { type MadeTest, madePeople } from './timeSeries.ts';

describe('months', () => {
  it('are found from everybody, not from one person, and are 0 in a single month', () => {
    const made = madeChain(1, ({ day }) => (day > firstDay + 200 ? 1 : 0));
    const people = madePeople(made);
    const about = { day: people.day, group: people.cutter.codes, groups: people.cutter.levels.length };
    const shift = monthShifts(people.left.saleable, people.sd.saleable, about);
    const gap =
      (shift[people.day.indexOf(Math.max(...people.day))] as number) -
      (shift[people.day.indexOf(Math.min(...people.day))] as number);
    expect(gap).toBeGreaterThan(0.7);
    expect(gap).toBeLessThan(1.4);
    const oneMonth = { ...about, day: people.day.map(() => firstDay) };
    expect(
      monthShifts(people.left.saleable, people.sd.saleable, oneMonth).every((value) => value === 0),
    ).toBe(true);
    expect(
      monthShifts(new Float64Array(0), new Float64Array(0), {
        day: new Float64Array(0),
        group: new Int32Array(0),
        groups: 0,
      }),
    ).toHaveLength(0);
  });
});

describe('learning', () => {
  it('is found from beginners and told apart from improvement', () => {
    const since = new Map(Array.from({ length: 6 }, (_, k) => [`c-0${k}`, firstDay - 5]));
    const made = madeChain(2, ({ cutter, day }) => (cutter < 6 ? -4 * 2 ** (-(day - firstDay + 5) / 60) : 0));
    const people = madePeople(made);
    const sinceOf = (cutter: string): number => since.get(cutter) ?? Number.NaN;
    const curve = learningCurve(people, people.left, { sinceOf, coached: new Set() });
    expect(curve?.size.saleable).toBeLessThan(-2.5);
    expect(curve?.size.saleable).toBeGreaterThan(-6);
    expect(
      learningCurve(people, people.left, { sinceOf: () => Number.NaN, coached: new Set() }),
    ).toBeUndefined();
    const { findings, changedOn } = judged(made, { since });
    expect(findings.filter((row) => since.has(row.cutter))).toEqual([]);
    // three quarters are learned after two half-lives: until then no test tells of a lasting level
    const learned = firstDay - 5 + 2 * (curve?.halfLife as number);
    expect([...since.keys()].map((cutter) => changedOn.get(cutter)?.[0]?.day)).toEqual(
      Array(6).fill(learned),
    );
    expect(judged(made).changedOn.get('c-00')?.[0]?.day).not.toBe(learned);
  });
});

describe('drift', () => {
  const hundredKg = [0, 1, 2].map((k): [string, WeeklyShare[]] => [
    `c-09\u0000item ${k}`,
    [{ store: 's-09', region: '', kgPerWeek: 100, kgSeen: 1 }],
  ]);

  it('is rare where nothing changes: at most one in 300 cutter-months over all charts', () => {
    let drifts = 0;
    for (const seed of [21, 22, 23, 24])
      drifts += judged(madeChain(seed, () => 0)).findings.filter((row) => row.kind === 'drift').length;
    expect(drifts).toBeLessThanOrEqual((4 * 48 * (days / 30.44)) / 300);
  });

  it('names the cutter, the side, the day and the size', () => {
    const { findings } = judged(
      madeChain(4, ({ cutter, day }) => (cutter === 7 && day >= firstDay + 250 ? -3.5 : 0)),
    );
    const own = findings.filter((one) => one.cutter === 'c-07');
    expect(own).toHaveLength(1);
    const row = own[0];
    expect(row).toMatchObject({
      kind: 'drift',
      cutter: 'c-07',
      item: '',
      outcome: 'saleable',
      status: 'continuing',
    });
    expect(Math.abs((row?.effect as number) + 3.5)).toBeLessThan(1.2);
    expect(row?.low as number).toBeLessThan(-2.5);
    expect(row?.tests as number).toBeGreaterThan(15);
    expect(row?.headline).toContain('A question, not a verdict');
  });

  it('is told of main cut that goes to trim, which moves nothing that sells, and costs once', () => {
    const made = madeChain(4, () => 0).map((test) =>
      test.cutter === 'c-09' && test.day >= firstDay + 250 ? { ...test, toTrim: 3 } : test,
    );
    const told = judged(made, { shares: hundredKg }).drifts.filter(
      ({ finding }) => finding.cutter === 'c-09',
    );
    expect(told.map(({ finding: { outcome, item } }) => [outcome, item])).toEqual([['main_cut', '']]);
    const [only] = told;
    expect(Math.abs((only?.finding.effect as number) + 3)).toBeLessThan(1.2);
    expect(only?.losses).toHaveLength(3);
    expect(only?.losses.reduce((sum, loss) => sum + loss.moneyPerWeek, 0)).toBeCloseTo(
      only?.finding.moneyPerWeek as number,
      9,
    );
  });

  /**
   * What is told of the first cutter of each of 12 stores, whose tests (of one item) change by `by` from a day on. In all
   * tests the knife leaves main cut in trim, or trim on main cut, by chance as well.
   */
  const toldOfTwelve = (
    by: Partial<MadeTest>,
    about: { from: number; item?: string; without?: string },
  ): FindingRow[] => {
    const draws = seededDraws(61, 4);
    const made = madeChain(61, () => 0).map((test) => {
      const isChanged =
        test.cutter < 'c-12' &&
        test.day >= firstDay + about.from &&
        (about.item === undefined || test.item === about.item);
      const own = isChanged ? by : {};
      const toTrim = 1.3 * draws.normal() + (own.toTrim ?? 0);
      return { ...test, ...own, toTrim, hasTrim: test.item !== about.without };
    });
    return judged(made)
      .drifts.map(({ finding }) => finding)
      .filter(({ cutter }) => cutter < 'c-12');
  };

  it('is told of main cut that goes to trim where trim shows it first, as a fall of main cut', () => {
    const told = toldOfTwelve({ toTrim: 2.5 }, { from: 310 });
    expect(told.length).toBeGreaterThanOrEqual(7);
    expect(told.every(({ outcome, effect }) => outcome === 'main_cut' && effect < 0)).toBe(true);
  });

  it('is told of lean trim that fat takes, as a fall of what sells or of trim', () => {
    const told = toldOfTwelve({ trimToFat: 2.2 }, { from: 250 });
    expect(told.length).toBeGreaterThanOrEqual(9);
    expect(told.some(({ outcome }) => outcome === 'lean_trim')).toBe(true);
    expect(told.every(({ effect, headline }) => effect < 0 && headline.includes('has fallen by'))).toBe(true);
  });

  it('says what a change is made of where it is not the cuts, and lets nobody copy that', () => {
    const [cuts, fat, found, lost] = [{ points: 3 }, { trimToFat: -3 }, { missing: -3 }, { missing: 3 }].map(
      (change) => toldOfTwelve(change, { from: 250 }).filter(({ outcome }) => outcome === 'saleable'),
    );
    const count = (rows: readonly FindingRow[] | undefined, words: string, went: string): number =>
      (rows ?? []).filter((row) => row.says.includes(words) && (row.went ?? '') === went).length;
    for (const rows of [cuts, fat, found, lost]) expect(rows?.length).toBeGreaterThanOrEqual(8);
    expect(count(fat, ', most of it lean trim', 'lean trim')).toBe(fat?.length);
    expect(count(found, ', while less weight is unaccounted for', 'unaccounted')).toBe(found?.length);
    expect(count(lost, ', while more weight is unaccounted for', '')).toBe(lost?.length);
    expect(cuts?.every(({ step }) => step.includes('let the others learn it'))).toBe(true);
    expect([fat, found].flat().some((row) => row?.step.includes('let the others learn it'))).toBe(false);
    expect(lost?.[0]?.step).toContain('Weigh one test output by output');
  });

  it('is told of main cut that goes to trim on one item, with the item', () => {
    const told = toldOfTwelve({ toTrim: 4 }, { from: 200, item: 'item 1' });
    const right = told.filter(({ item, outcome }) => item === 'item 1' && outcome === 'main_cut');
    expect(right.length).toBeGreaterThanOrEqual(9);
  });

  it('is told with all tests where one of the items gives no lean trim', () => {
    const told = toldOfTwelve({ trimToFat: 4 }, { from: 250, without: 'item 0' });
    expect(told.filter(({ item }) => item === '').length).toBeGreaterThanOrEqual(10);
    expect(Math.min(...told.map(({ low }) => low))).toBeGreaterThan(-8);
  });

  describe("at the chain's chance", () => {
    const made = [41, 42, 43].map((seed) =>
      madeChain(seed, ({ cutter, day }) => (cutter < 24 && day >= firstDay + 250 ? -2 : 0)),
    );
    const told = (chance: number, seenDays?: ReadonlyMap<string, number>) =>
      made
        .flatMap(
          (one) =>
            judged(one, {
              thresholds: { ...chain.thresholds, chance },
              ...(seenDays === undefined ? {} : { seenDays }),
            }).findings,
        )
        .filter(({ kind }) => kind === 'drift');
    const allTonight = new Map(
      Array.from({ length: 12 }, (_, store) => [`s-${String(store).padStart(2, '0')}.csv`, firstDay + days]),
    );
    it('is told on a first night, as habits are', () => {
      const lowest = told(0.5, allTonight);
      expect(lowest.filter((row) => row.chance < 0.99).length).toBeGreaterThan(0);
      expect(told(0.99, allTonight)).toEqual(lowest.filter((row) => row.chance >= 0.99));
    });
    it('once told is told on until the chance falls below 0.7, and as resolved when it does', () => {
      const held = told(0.99).filter((row) => row.chance < 0.99 && row.status !== 'resolved');
      expect(held.length).toBeGreaterThan(0);
      for (const row of held) {
        expect(row.status).toBe('continuing');
        expect(row.chance).toBeGreaterThanOrEqual(0.7);
      }
      const ids = (rows: readonly { findingId: string }[]): string[] => rows.map((row) => row.findingId);
      const sure = told(0.99, allTonight);
      expect(ids(told(0.99))).toEqual(expect.arrayContaining(ids(sure)));
    });
  });

  it('is new on the night that its tests are first seen', () => {
    const made = madeChain(4, ({ cutter, day }) => (cutter === 7 && day >= firstDay + 250 ? -3.5 : 0));
    const seenDays = new Map([['s-07.csv', firstDay + days]]);
    const row = judged(made, { seenDays }).findings.find((one) => one.cutter === 'c-07');
    expect(row?.status).toBe('new');
  });

  it('asks about the room where everybody of a store changes, and names nobody', () => {
    const { findings } = judged(
      madeChain(5, ({ store, day }) => (store === 3 && day >= firstDay + 220 ? -3 : 0)),
    );
    expect(findings.filter((row) => row.store === 's-03').map((row) => [row.kind, row.cutter])).toEqual([
      ['scale-question', ''],
    ]);
  });

  const back: Made = ({ cutter, day }) =>
    cutter === 9 && day >= firstDay + 150 && day < firstDay + 362 ? -4 : 0;

  it('is resolved when the level comes back, without money and without losses', () => {
    const { drifts } = judged(madeChain(8, back), { shares: hundredKg });
    const [own, ...more] = drifts.filter(({ finding }) => finding.cutter === 'c-09');
    expect(more).toEqual([]);
    expect(own?.finding.status).toBe('resolved');
    expect(own?.finding.headline.startsWith('Resolved: c-09 on all items')).toBe(true);
    expect(own?.finding.headline).not.toContain('$');
    expect(own?.finding.moneyPerWeek).toBeNaN();
    expect(own?.losses).toEqual([]);
  });

  it('is not told where it came and went before anybody could hear of it', () => {
    const seenDays = new Map([['s-09.csv', firstDay + days]]);
    const { findings } = judged(madeChain(8, back), { seenDays });
    expect(findings.filter((row) => row.cutter === 'c-09')).toEqual([]);
  });

  it('is not told of a bad spell of 4 to 6 tests that is over', () => {
    let told = 0;
    for (const seed of [31, 32, 33, 34]) {
      // one cutter of each store, 5 tests in the middle of 60
      const made = madeChain(seed, ({ cutter, day }) =>
        cutter < 12 && day >= firstDay + 200 && day < firstDay + 233 ? -8 : 0,
      );
      told += judged(made).drifts.filter(({ finding }) => finding.status !== 'resolved').length;
    }
    expect(told).toBeLessThanOrEqual(1);
  });

  it('costs what is lost today on all items, also on those seldom cut since', () => {
    const made = madeChain(4, ({ cutter, day }) => (cutter === 9 && day >= firstDay + 250 ? -3.5 : 0));
    const own = judged(made, { shares: hundredKg }).drifts.find(({ finding }) => finding.cutter === 'c-09');
    const { moneyPerWeek, moneyLow, moneyHigh } = own?.finding ?? ({} as FindingRow);
    // 3.5 points x 0.3 a kg and point x 300 kg
    expect(moneyLow).toBeLessThan(315);
    expect(moneyHigh).toBeGreaterThan(315);
    expect(own?.losses.map(({ item, habit }) => [item, habit])).toEqual(
      [0, 1, 2].map((k) => [`item ${k}`, 'drift']),
    );
    expect(own?.losses.reduce((sum, loss) => sum + loss.moneyPerWeek, 0)).toBeCloseTo(moneyPerWeek, 9);
  });

  it('is left to coaching where it follows one', () => {
    const made = madeChain(6, ({ cutter, day }) => (cutter === 11 && day < coachedOn ? -4 : 0));
    const { findings } = judged(made, { coaching: [event('c-11')] });
    expect(findings.filter((row) => row.cutter === 'c-11').map((row) => row.kind)).toEqual(['improved']);
  });
});
