import { describe, expect, it } from 'vitest';
import type { FindingRow } from '../../../src/findings/found.ts';
import type { CoachingRow } from '../../../src/normalize/normalized.ts';
import { coachedOn, days, event, firstDay, judged, madeChain } from './judgedChange.ts';

describe('coaching', () => {
  it('calls a habit that stays not improved and not cured', () => {
    const made = madeChain(7, ({ cutter }) => (cutter === 2 ? -3 : 0));
    const { findings, coaching } = judged(made, { coaching: [event('c-02', 'over-trimming')] });
    expect(findings.filter((row) => row.cutter === 'c-02').map((row) => row.kind)).toEqual(['not-improved']);
    expect(coaching.map((row) => row.scope)).toEqual(['event', 'cutter', 'item', 'chain']);
    expect(coaching[0]).toMatchObject({ verdict: 'not-improved', habitNow: 'not-cured', improved: 0 });
  });

  it('without a habit named is judged on main cut too: what no longer goes to trim moves nothing that sells', () => {
    const made = madeChain(7, () => 0);
    const trimming = (cured: boolean) =>
      made.map((test) =>
        test.cutter === 'c-02' && !(cured && test.day > coachedOn) ? { ...test, toTrim: 3 } : test,
      );
    const told = (cured: boolean) =>
      judged(trimming(cured), { coaching: [event('c-02')] }).findings.find(({ cutter }) => cutter === 'c-02');
    expect([told(true)?.kind, told(true)?.outcome]).toEqual(['improved', 'main_cut']);
    expect([told(false)?.kind, told(false)?.nothingToCure]).toEqual(['not-improved', undefined]);
  });

  it('without effect is called improved in at most one of 20 over the outcomes looked at', () => {
    const improved = [51, 52, 53, 54].flatMap((seed) =>
      judged(
        madeChain(seed, () => 0),
        { coaching: Array.from({ length: 24 }, (_, k) => event(`c-${String(2 * k).padStart(2, '0')}`)) },
      ).findings.filter(({ kind }) => kind === 'improved'),
    );
    expect(improved.length).toBeLessThanOrEqual((4 * 24) / 20);
  });

  it('without a habit named is judged on the habit that the tests before showed, also where its cure sells less', () => {
    // fat left in trim: what sells falls when it is cut out
    const made = (cured: boolean) =>
      madeChain(7, () => 0).map((test) =>
        test.cutter === 'c-05' && !(cured && test.day > coachedOn) ? { ...test, trimToFat: -4 } : test,
      );
    const told = (cured: boolean) =>
      judged(made(cured), { coaching: [event('c-05')] }).findings.find(({ cutter }) => cutter === 'c-05');
    expect([told(true)?.kind, told(true)?.outcome]).toEqual(['improved', 'lean_trim']);
    expect(told(true)?.headline).toContain('and the habit is gone');
    expect(told(false)?.kind).toBe('not-improved');
  });

  /** Verdicts on 12 cutters with some tests before and after a coaching, who gain some points; the others' levels lie `apart`. */
  const verdicts = (about: { before: number; after: number; gain: number; apart?: number }) => {
    const left = new Map<string, { before: number; after: number }>();
    const { gain, apart = 0 } = about;
    const made = madeChain(71, ({ cutter, day }) =>
      cutter < 12 ? (day > coachedOn ? gain : 0) : apart * ((cutter % 5) - 2),
    ).filter(({ cutter, day }) => {
      if (cutter >= 'c-12') return true;
      const own = left.get(cutter) ?? { before: about.before, after: about.after };
      left.set(cutter, own);
      return day === coachedOn ? false : own[day < coachedOn ? 'before' : 'after']-- > 0;
    });
    const events = Array.from({ length: 12 }, (_, k) => event(`c-${String(k).padStart(2, '0')}`));
    return judged(made, { coaching: events }).findings.filter(({ kind }) => kinds.includes(kind));
  };
  const kinds = ['improved', 'not-improved', 'too-early'];
  const share = (rows: readonly FindingRow[], kind: string): number =>
    rows.filter((row) => row.kind === kind).length / rows.length;

  it('is not too early where a gain of 2 points is out of the question', () => {
    const rows = verdicts({ before: 20, after: 7, gain: -2 });
    expect(rows).toHaveLength(12);
    expect(share(rows, 'not-improved')).toBe(1);
  });

  it('is not too early for ever where too few tests were before, and says so', () => {
    const rows = verdicts({ before: 3, after: 16, gain: 1, apart: 1 });
    expect(share(rows, 'too-early')).toBe(0);
    const few = rows.filter(({ says }) => says.includes('but too few tests before it to be sure'));
    expect(few.length).toBeGreaterThan(2);
    expect(share(few, 'not-improved')).toBe(1);
  });

  it('tells 4 of 5 gains of 2 points with the tests that it asks for', () => {
    const asked = verdicts({ before: 20, after: 3, gain: 0 }).filter(({ kind }) => kind === 'too-early');
    const needed = asked.map(({ says }) => 3 + Number(/; (\d+) more tests? /.exec(says)?.[1]));
    const most = Math.max(...needed);
    expect(most).toBeLessThan(25);
    expect(share(verdicts({ before: 20, after: most, gain: 2 }), 'improved')).toBeGreaterThanOrEqual(0.8);
  });

  it('takes no habit for gone because its item is cut less', () => {
    const made = madeChain(7, () => 0).flatMap((test) => {
      if (test.cutter !== 'c-02') return [test];
      const isSeldom = test.item === (test.day > coachedOn ? 'item 1' : 'item 2');
      const own = test.item === 'item 1' ? { ...test, toTrim: 5 } : test;
      return isSeldom && Number(test.day) % 4 > 0 ? [] : [own];
    });
    const row = judged(made, { coaching: [event('c-02')] }).findings.find(({ cutter }) => cutter === 'c-02');
    expect(row?.kind).toBe('not-improved');
  });

  it('says where there was nothing to cure, which asks for no other way', () => {
    const { findings } = judged(
      madeChain(7, ({ cutter }) => (cutter === 2 ? 1 : 0)),
      { coaching: [event('c-02')] },
    );
    const own = findings.find((row) => row.cutter === 'c-02');
    expect([own?.kind, own?.nothingToCure]).toEqual(['not-improved', true]);
    expect(own?.headline).toContain('nothing to cure was seen before coaching');
    expect(own?.step).not.toContain('another way');
    const off = judged(
      madeChain(7, ({ cutter }) => (cutter === 2 ? -3 : 0)),
      { coaching: [event('c-02')] },
    ).findings.find((row) => row.cutter === 'c-02');
    expect([off?.nothingToCure, off?.step.includes('another way')]).toEqual([undefined, true]);
  });

  it('that was told to have worked is told so until a gain is no longer likely; on a first night only where it is sure', () => {
    const told = (isFirstNight: boolean) =>
      [61, 62, 63].flatMap((seed) => {
        const made = madeChain(seed, ({ cutter, day }) => (cutter < 12 && day > coachedOn ? 1.2 : 0));
        const seenDays = new Map(made.map(({ store }) => [`${store}.csv`, firstDay + days]));
        return judged(made, {
          coaching: Array.from({ length: 12 }, (_, k) =>
            event(`c-${String(k).padStart(2, '0')}`, 'over-trimming'),
          ),
          ...(isFirstNight ? { seenDays } : {}),
        }).findings.filter(({ kind }) => kind === 'improved');
      });
    const sure = 1 - 0.025 / 2;
    const held = told(false).filter(({ chance }) => chance < sure);
    expect(held.length).toBeGreaterThan(0);
    expect(held.every(({ chance, status }) => chance >= 0.9 && status === 'continuing')).toBe(true);
    expect(told(true).filter(({ chance }) => chance < sure)).toEqual([]);
  });

  it('is too early on four tests, however good they are', () => {
    expect(share(verdicts({ before: 20, after: 4, gain: 8 }), 'too-early')).toBe(1);
    expect(share(verdicts({ before: 20, after: 5, gain: 8 }), 'improved')).toBe(1);
  });

  it('is new on a first night, also where too few tests could ever tell', () => {
    const made = madeChain(7, () => 0);
    const seenDays = new Map(made.map(({ store }) => [`${store}.csv`, firstDay + days]));
    const { findings } = judged(made, { coaching: [event('c-02'), event('c-03')], seenDays });
    expect(findings.length).toBeGreaterThan(1);
    expect(new Set(findings.map(({ status }) => status))).toEqual(new Set(['new']));
    expect(judged(made, { coaching: [event('c-02')] }).findings[0]?.status).toBe('continuing');
  });

  it('shows the return to be expected: nearer to 0 than what was seen', () => {
    const { coaching } = judged(
      madeChain(9, () => 0),
      { coaching: [event('c-05')] },
    );
    const { rawBefore, expectedAfter } = coaching[0] as (typeof coaching)[number];
    expect(Math.abs(expectedAfter)).toBeLessThan(Math.abs(rawBefore));
  });

  it('says how many tests are missing when it is too early, and knows no coaching of strangers', () => {
    const late: CoachingRow = {
      cutter: 'c-05',
      item: '',
      habit: '',
      coachedOn: firstDay + days - 10,
      by: '',
    };
    const { findings, coaching } = judged(
      madeChain(9, () => 0),
      { coaching: [late, event('c-99')] },
    );
    expect(findings.filter((row) => row.cutter === 'c-05').map((row) => row.kind)).toEqual(['too-early']);
    expect(coaching[0]?.testsNeeded).toBeGreaterThan(3);
    expect(coaching.filter((row) => row.scope === 'event')).toHaveLength(1);
  });

  it('is nothing on a night without tests', () => {
    const { findings, coaching } = judged([], { coaching: [event('c-05')] });
    expect([findings, coaching]).toEqual([[], []]);
  });
});
