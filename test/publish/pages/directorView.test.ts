import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { directorView } from '../../../src/publish/pages/directorView.ts';
import type { PeopleFree } from '../../../src/publish/pages/peopleFree.ts';
import { dayFromIso } from '../../../src/units/calendarDay.ts';

const minimum = 5;
const room = (store: string, money: number, cutters: number, reach = 0) => ({
  region: 'North',
  store,
  item: '180',
  habit: 'over-trimming',
  moneyPerWeek: money,
  low: money - reach,
  high: money + reach,
  tests: 10,
  cutters,
  suppressed: cutters < minimum,
  since: '2026-01-05',
  isNew: false,
});
const night = (losses: ReturnType<typeof room>[]): PeopleFree =>
  ({
    chain: {
      name: 'Mill',
      language: 'en',
      currency: 'USD',
      unit: 'lb',
      items: [],
      privacy: { minimum_group: minimum },
      freshness: { expect_every_days: 7, stale_after_days: 21 },
      target_margin: 30,
    },
    asOf: '2026-11-23',
    asOfDay: dayFromIso('2026-11-23'),
    reported: '4 of 4 stores reported',
    tests: [],
    held: 0,
    losses,
    isFirstNight: false,
    ended: [],
    refused: [],
    standards: [],
    stores: losses.map(({ store, region, cutters }) => ({
      store,
      name: '',
      region,
      lastTest: '2026-11-22',
      tests: 10,
      held: 0,
      cutters,
      silent: false,
      refusedFiles: 0,
      sentButRefused: false,
      lastSent: '',
      sentButOld: false,
    })),
    methods: [],
    merchandise: { portions: [], changes: [], trend: [], unpriced: [], margins: { known: 0, negative: 0 } },
    adjustedFor: ['item'],
  }) as unknown as PeopleFree;
const money = fc.integer({ min: 0, max: 5000 });

describe('what the director reads of rooms too small to show', () => {
  it('is the same to the last letter however their money is shared out among them', () => {
    fc.assert(
      fc.property(money, money, money, (a, b, c) => {
        const read = (first: number, second: number, third: number) =>
          directorView(
            night([
              room('big', 900, 9, 50),
              room('s-1', first, 2),
              room('s-2', second, 2),
              room('s-3', third, 2),
            ]),
          );
        expect(JSON.stringify(read(a, b, c))).toBe(JSON.stringify(read(c, a, b)));
        expect(JSON.stringify(read(a, b, c))).toBe(JSON.stringify(read(a + b, 0, c)));
      }),
      { numRuns: 30 },
    );
  });
  it('does not change at all with the money of fewer than three of them', () => {
    fc.assert(
      fc.property(money, money, (a, b) => {
        const read = (first: number, second: number) =>
          directorView(night([room('big', 900, 9, 50), room('s-1', first, 2), room('s-2', second, 4)]));
        expect(JSON.stringify(read(a, b))).toBe(JSON.stringify(read(0, 0)));
      }),
      { numRuns: 30 },
    );
  });
});

describe('the director’s first sentence', () => {
  it('says where to start, what that costs, and what all of it costs', () => {
    const { lead } = directorView(
      night([room('big', 60, 9, 10), { ...room('other', 20, 9, 5), region: 'South' }]),
    );
    expect(lead).toBe(
      'Start at big, where main cut of 180 is cut off with fat and trim: about $60 a week ($50 to $70). The 2 habits found cost together about $80 a week ($69 to $91).',
    );
  });
  it('calls nothing costly that may cost nothing', () => {
    const { lead, actions } = directorView(night([room('big', 15, 9, 16)]));
    expect(lead).toContain('about $15 a week, perhaps nothing (−$1 to $31).');
    expect(actions[0]?.worthNote).toBe('a week, −$1 to $31: perhaps nothing');
    expect(lead).not.toContain('costly');
  });
  it('doubts the amounts where an output has no price, and asks for the price first', () => {
    const fat = { output: 'fat', outputClass: 'fat', tests: 9, testsWithout: 9, kg: 4, shareOfCut: 0.1 };
    const input = night([room('big', 60, 9, 10)]);
    const merchandise = { ...input.merchandise, unpriced: [fat] };
    const { lead, actions } = directorView({ ...input, merchandise });
    expect(lead).toMatch(
      /No other habit was found to cost money\. These amounts are off until fat has a price: it counts as 0\.$/,
    );
    expect(actions.map((action) => action.what.split(':')[0])).toEqual([
      'Price fat',
      'Have the trainer work on trimming at big',
    ]);
  });
  it('asks for the book yield that tests contradict, with both figures', () => {
    const standard = {
      item: '180',
      method: 'steaks',
      output: 'strip steak',
      book: 0.8,
      measured: 0.77,
      low: 0.765,
      high: 0.775,
      tests: 90,
    };
    const told = (standards: (typeof standard)[]) =>
      directorView({ ...night([]), standards } as unknown as PeopleFree).actions[0];
    expect(told([standard])?.what).toBe('Change the book yield of strip steak from 180');
    expect(told([standard, standard])).toMatchObject({
      what: 'Change 2 book yields, that of strip steak from 180 first',
      why: 'Book 80.0 %, measured 77.0 % (95 % interval 76.5 % to 77.5 %; 90 tests). Prices that are set by the book miss the target margin.',
    });
  });
  it('asks for one refused file, or one silent store, as for one', () => {
    const read = (over: Partial<PeopleFree>) => directorView({ ...night([]), ...over } as PeopleFree).actions;
    const file = { stores: ['s-1'], file: 'a.csv' } as unknown as PeopleFree['refused'][number];
    expect(read({ refused: [file] })[0]).toMatchObject({
      what: 'Have the file sent again that was refused whole: s-1',
      why: 'Its tests are in no figure here. The page “Stores” says what is wrong and how to mend it.',
    });
    expect(read({ refused: [file, file] })[0]).toMatchObject({
      what: 'Have 2 files sent again that were refused whole: s-1',
      why: 'Their tests are in no figure here. The page “Stores” says what is wrong and how to mend it.',
    });
    const status = (over: object) =>
      ({
        store: 's-1',
        name: '',
        silent: false,
        sentButRefused: false,
        sentButOld: false,
        ...over,
      }) as unknown as PeopleFree['stores'][number];
    expect(read({ refused: [file], stores: [status({})] })[0]?.why).toMatch(
      /^Its tests are in no figure here; the store still counts as reporting, by other sheets[.] /,
    );
    expect(read({ refused: [file], stores: [status({ sentButRefused: true })] })[0]?.why).not.toContain(
      'counts',
    );
    const silent = (store: string, lastTest: string) =>
      ({ store, name: '', region: '', lastTest, silent: true }) as PeopleFree['stores'][number];
    expect(read({ stores: [silent('s-1', '2026-09-22')] })[0]?.why).toBe(
      'Last test: Sep 22, 2026. What was cut there since is in no figure; what older sheets show counts like that of other stores.',
    );
    expect(read({ stores: [silent('s-1', '2026-09-22'), silent('s-2', '')] })[0]?.why).toMatch(
      /^Last test: s-1 Sep 22, 2026, s-2 never[.] /,
    );
  });
  it('says that nothing of a store is in any figure only where no sheet ever came', () => {
    const never = { store: 's-1', name: '', region: '', lastTest: '', silent: true };
    const { actions } = directorView({ ...night([]), stores: [never] } as unknown as PeopleFree);
    expect(actions[0]?.why).toBe('Last test: never. Nothing that is cut there is in any figure.');
  });
  it('starts at a store that sends, before one that only old tests speak of, and says until when', () => {
    const input = night([room('big', 200, 9, 50), room('other', 20, 9, 5)]);
    const stores = input.stores.map((store) =>
      store.store === 'big' ? { ...store, silent: true, lastTest: '2026-04-10' } : store,
    );
    const { lead, actions, order } = directorView({ ...input, stores });
    expect(lead).toMatch(/^Start at other, where/);
    expect(actions.map(({ what }) => what).slice(0, 2)).toEqual([
      'Have the trainer work on trimming at other: 180',
      'Have the trainer work on trimming at big: 180',
    ]);
    expect(actions[0]?.why).toBe(
      '10 tests against what the same pieces yield elsewhere; the habit is clear since Jan 5, 2026.',
    );
    expect(actions[1]?.why).toContain(', by tests to Apr 10, 2026; there are none since.');
    expect(order).toContain('after it what only older tests show');
    expect(directorView(input).order).toBe('Most money first, then what has no weekly amount.');
    expect(directorView({ ...input, losses: [input.losses[0] as never], stores }).lead).toContain(
      '($150 to $250), by tests to Apr 10, 2026; there are none since.',
    );
  });
  it('says of which habits the sum is where rooms too few to hide each other are left out', () => {
    const { lead } = directorView(night([room('big', 60, 9, 10), room('s-1', 30, 2), room('s-2', 30, 4)]));
    expect(lead).toMatch(
      /The one habit found in stores with 5 or more cutters costs about \$60 a week \(\$50 to \$70\); what was found in 2 smaller stores is left out, to keep people out of it[.]$/,
    );
    const crowd = [room('s-1', 30, 2), room('s-2', 30, 4), room('s-3', 30, 4)];
    expect(directorView(night([room('big', 60, 9, 10), ...crowd])).lead).toMatch(
      /All habits found cost together about \$150 a week \(/,
    );
  });
  it('tells a fall against the time before its day, not against others', () => {
    const fall = { ...room('big', 60, 9, 10), habit: 'drift' };
    expect(directorView(night([fall])).actions[0]?.why).toBe(
      '10 tests since Jan 5, 2026 against what was got out of the same pieces there before.',
    );
  });
  it('says so when nothing stands out', () => {
    const { lead, calm } = directorView(night([]));
    expect(lead).toBe('No cutting habit that costs money stands out this week.');
    expect(calm).toBe('Nothing needs a decision this week.');
  });
  it('is not calm where all that costs money lies in rooms too small to show', () => {
    const small =
      'in stores with fewer than 5 cutters, which are not told apart here; the trainer knows where.';
    const three = directorView(night([room('a', 20, 2, 5), room('b', 20, 2, 5), room('c', 20, 2, 5)]));
    expect(three.lead).toBe(
      `Cutting habits cost about $60 a week ($51 to $69), all of it ${small} Most by region: North; by item: 180; by habit: trimmed too deep.`,
    );
    expect(three.actions.map(({ what, worth }) => [what, worth])).toEqual([
      ['Have the trainer visit the stores with fewer than 5 cutters in North first', '$60'],
      ['Have the trainer work on 180 in stores with fewer than 5 cutters', '$60'],
    ]);
    expect(three.places.drawn.map(({ title, rows }) => [title, rows.map((row) => row.label)])).toEqual([
      ['Region', ['North']],
    ]);
    expect(three.places.same).toEqual(['item', 'habit']);
    expect(three.calm).toContain('Ask the trainer about the 3 stores with fewer than 5 cutters');
    expect(directorView(night([room('a', 20, 2, 5)])).lead).toBe(
      `The only cutting habits found are ${small}`,
    );
  });
  it('speaks of a week only where weekly volumes are known', () => {
    const seen = { ...room('big', 60, 9, 10), ofTestsSeen: true };
    const none = directorView(night([seen]));
    expect(none.lead).toContain('about $60 in the tests seen ($50 to $70). No other habit was found');
    expect(none.actions[0]?.worthNote).toBe('in the tests seen, $50 to $70');
    expect(none.lead).not.toContain('a week');
    expect(none.scope).toContain('Of the stores there is no volume in the last 13 weeks: their money');
    expect(directorView(night([room('other', 20, 9, 5)])).scope).not.toContain('volume');
    const some = directorView(night([seen, room('other', 20, 9, 5)]));
    expect(some.lead).toContain(
      '$80 a week, or in the tests seen where there is no volume in the last 13 weeks (',
    );
    expect(some.actions.map((action) => action.worthNote.split(',')[0])).toEqual([
      'in the tests seen',
      'a week',
    ]);
  });
  it('names no labor where no labor is known', () => {
    const way = {
      item: '180',
      method: 'plain',
      otherMethod: 'split',
      gapPerBilledKg: -0.2,
      low: -0.3,
      high: -0.1,
      tests: 40,
      output: 'steak',
      pricePerKg: 16,
      breakEvenPerKg: 16.5,
      breakEvenWithLaborPerKg: Number.NaN,
      isLaborKnown: false,
    };
    const said = (isLaborKnown: boolean, breakEvenWithLaborPerKg: number) =>
      directorView({
        ...night([]),
        methods: [{ ...way, isLaborKnown, breakEvenWithLaborPerKg }],
      } as unknown as PeopleFree).actions[0]?.why;
    expect(said(false, Number.NaN)).toContain('less per billed lb before labor, which is not known (');
    expect(said(false, Number.NaN)).toContain('sells above $7.48 (now $7.26)');
    expect(said(true, 17)).toContain('less per billed lb after labor (');
    expect(said(true, 17)).toContain('sells above $7.71 (now $7.26)');
  });
});
