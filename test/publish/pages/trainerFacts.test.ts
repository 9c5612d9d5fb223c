import { table } from 'arquero';
import { describe, expect, it } from 'vitest';
import type { FindingRow, StoreStatusRow } from '../../../src/findings/found.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import { testFields, trainerFacts, withDays, withLabel } from '../../../src/publish/pages/trainerFacts.ts';
import { trainerView } from '../../../src/publish/pages/trainerView.ts';
import type { SitesInput } from '../../../src/publish/sitesInput.ts';
import { dayFromIso } from '../../../src/units/calendarDay.ts';

const label = (): string => 'ab12$&cd';

describe('a text with the code in place of the cutter', () => {
  it('replaces the id wherever it stands as a word, and nothing else', () => {
    expect(withLabel('c-04 on 184: c-04 against c-041', 'c-04', label)).toBe(
      'ab12$&cd on 184: ab12$&cd against c-041',
    );
  });
  it('replaces an id of digits at the beginning only, so that figures stay', () => {
    expect(withLabel('4 on 184: main cut 4.1 points over 4 tests', '4', label)).toBe(
      'ab12$&cd on 184: main cut 4.1 points over 4 tests',
    );
  });
  it('takes ids with signs of regular expressions as they are', () => {
    expect(withLabel('a.b on x', 'a.b', label)).toBe('ab12$&cd on x');
    expect(withLabel('axb on x', 'a.b', label)).toBe('axb on x');
  });
  it('leaves texts about nobody alone', () => {
    expect(withLabel('Store s-1', '', label)).toBe('Store s-1');
  });
});

describe('days in a text', () => {
  it('are written as their readers write them, and no id is taken for one', () => {
    const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
    expect(withDays('risen by 2.1 since 2026-03-02; test T-2026-03-02', write)).toBe(
      'risen by 2.1 since Mar 2, 2026; test T-2026-03-02',
    );
  });
});

const chain = {
  name: 'Mill',
  language: 'en',
  currency: 'USD',
  unit: 'lb',
  items: [],
  privacy: { names: true },
  freshness: { stale_after_days: 21 },
  thresholds: { effect_points: 1 },
};
const store = (name: string, lastTest: string, over: Partial<StoreStatusRow> = {}) => ({
  store: name,
  name,
  region: 'North',
  lastTest,
  silent: false,
  sentButRefused: false,
  sentButOld: false,
  ...over,
});
const room = (of: string, moneyPerWeek: number, cutter = '') => ({
  findingId: `${of} ${cutter}`,
  kind: cutter === '' ? 'room-habit' : 'over-trimming',
  reader: 'trainer',
  status: 'new',
  store: of,
  cutter,
  item: '',
  moneyPerWeek,
  moneyLow: moneyPerWeek - 5,
  moneyHigh: moneyPerWeek + 5,
  tests: 20,
  says: 'Main cut 3.8 points below expected.',
  step: 'Show the whole room the same cut.',
});
/** Cuts of somebody in a store on a day. */
type Cut = readonly [store: string, cutter: string, day: string];
const factsOf = (cuts: readonly Cut[], stores: object[], findings: object[]) => {
  const cells = (field: string): unknown[] =>
    cuts.map(([of, cutter, day], i) =>
      field === 'cutDay'
        ? dayFromIso(day)
        : ({ store: of, cutter, testId: `t-${i}`, state: 'used' }[field] ?? ''),
    );
  return trainerFacts({
    chain,
    asOfDay: dayFromIso('2026-10-01'),
    cutterCode: (cutter: string) => cutter,
    reference: { cutters: [], coaching: [] },
    measured: { tests: table(Object.fromEntries(testFields.map((field) => [field, cells(field)]))) },
    modeled: { expected: table({}), adjustedFor: [], effects: [] },
    found: { findings: findings as FindingRow[], stores, owed: [], coaching: [] },
  } as unknown as SitesInput);
};
const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const leadOf = (facts: ReturnType<typeof factsOf>) =>
  trainerView(facts, write, { asOf: '2026-10-01', reported: '' });

describe('findings that only old tests show', () => {
  const cuts: Cut[] = [
    ['old', 'ann', '2026-03-10'],
    ['old', 'bob', '2026-04-10'],
    ['here', 'cam', '2026-09-29'],
    ['here', 'dot', '2026-09-30'],
  ];
  const stores = [store('old', '2026-04-10', { silent: true }), store('here', '2026-09-30')];
  it('stand after those of stores that send, however dear, and say until when they were seen', () => {
    const facts = factsOf(cuts, stores, [room('old', 209), room('here', 20)]);
    expect(facts.findings.map((finding) => finding.store)).toEqual(['here', 'old']);
    expect(facts.findings.map((finding) => finding.says)).toEqual([
      'Main cut 3.8 points below expected.',
      'Main cut 3.8 points below expected. Seen until Apr 10, 2026: no later test is there.',
    ]);
    const view = leadOf(facts);
    expect(view.lead).toMatch(/^Go to here first: the whole room trims too deep/);
    expect(view.visits.map(({ label }) => label)).toEqual([
      'here, whole room',
      'old, whole room, until Apr 10, 2026',
    ]);
    expect(view.visitNote).toContain('then what is not priced, last what only old tests show.');
  });
  it('lead the page only alone, and say there too until when', () => {
    const view = leadOf(factsOf(cuts, stores, [room('old', 209)]));
    expect(view.lead).toMatch(
      /^Go to old first: .* It was seen until Apr 10, 2026: no later test is there[.]$/,
    );
    const none = leadOf(factsOf(cuts, stores, []));
    expect(none.lead).toBe('No habit stands out, and no tests are owed.');
    expect(none.visitNote).toMatch(/^Most money first, then what is not priced[.] /);
  });
  it('are none of a cutter who has lately been tested elsewhere', () => {
    const moved: Cut[] = [...cuts, ['here', 'bob', '2026-09-20']];
    const { seenUntil } = factsOf(moved, stores, [room('old', 9, 'ann'), room('old', 9, 'bob')]);
    expect([...seenUntil]).toEqual([['old ann', '2026-03-10']]);
  });
});

describe('a room in which one cutter cut', () => {
  const stores = [store('one', '2026-09-30'), store('two', '2026-09-30')];
  const cuts: Cut[] = [
    ['one', 'ann', '2026-09-30'],
    ['two', 'bob', '2026-09-30'],
    ['two', 'cam', '2026-09-30'],
  ];
  it('is not told from the person, and no one is told to cut with the whole room', () => {
    const [one, two] = factsOf(cuts, stores, [room('one', 30), room('two', 20)]).findings;
    expect(one?.says).toBe(
      'Main cut 3.8 points below expected. One cutter cut all tests here: person and room cannot be told apart.',
    );
    expect(one?.step).toContain('the tests cannot tell them from the person');
    expect(two?.says).toBe('Main cut 3.8 points below expected.');
    expect(two?.step).toBe('Show the whole room the same cut.');
    expect(leadOf(factsOf(cuts, stores, [room('one', 30)])).lead).toMatch(
      /^Go to one first: the room, or its one cutter, trims too deep on all items/,
    );
  });
  it('says where that cutter has cut since', () => {
    const moved: Cut[] = [['one', 'ann', '2026-04-10'], ['two', 'ann', '2026-09-11'], ...cuts.slice(1)];
    expect(factsOf(moved, stores, [room('one', 30)]).findings[0]?.says).toContain(
      'One cutter cut all tests here and has cut at two since: person and room cannot be told apart.',
    );
  });
});
