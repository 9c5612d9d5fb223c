import { describe, expect, it } from 'vitest';
import type { FindingRow } from '../../../src/findings/found.ts';
import type { EffectRow } from '../../../src/model/modeled.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import { storePage } from '../../../src/publish/pages/storePage.tsx';
import { storeView } from '../../../src/publish/pages/storeView.ts';
import type { TrainerFacts } from '../../../src/publish/pages/trainerFacts.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const rise = {
  kind: 'drift',
  status: 'continuing',
  store: 's-1',
  cutter: 'c-1',
  item: '',
  effect: 2.1,
  moneyPerWeek: Number.NaN,
  says: 'Saleable has risen by 2.1 points since 2026-03-02.',
  step: 'Ask what is done differently.',
} as FindingRow;
const owed = {
  store: 's-1',
  item: '180',
  tests: 3,
  by: '2026-12-21',
  cutter: 'c-1',
  why: 'x',
  atStake: 13.4,
};
const effect = {
  outcome: 'main_cut',
  status: 'ok',
  item: '180',
  effect: -4.8,
  low: -5.8,
  high: -3.8,
  tests: 17,
};

/** The page of store s-1 as text without marks. */
const shown = (
  findings: readonly FindingRow[],
  room: readonly Partial<EffectRow>[],
  owes: object[] = [],
): string => {
  const facts = {
    findings,
    doubted: new Set(findings.filter(({ kind }) => kind === 'under-trimming').map(({ cutter }) => cutter)),
    testsByStore: new Map(),
    seenUntil: new Map(),
    lone: new Map(),
    input: { asOfDay: 20_780, found: { stores: [], owed: owes } },
    store: () => 'Mill Street',
    item: () => 'strip loin (180)',
    who: () => 'cutter ab12',
    label: () => 'ab12',
    cutterFile: () => 'cutter-ab12.html',
    storeFile: () => 'store-s-1.html',
  } as unknown as TrainerFacts;
  const view = storeView('s-1', room as EffectRow[], { facts, write });
  const bundle = { chainName: 'Mill', reader: 'the trainer', nav: [], finds: '', banner: '' };
  return storePage(view, 'store-s-1.html', { bundle, write }).replaceAll(
    /<script.*?<\/script>|<[^>]+>/g,
    '|',
  );
};

describe('a store visit', () => {
  it('says that a room with too few stores or tests beside it is not known, and draws nothing', () => {
    const text = shown([], []);
    expect(text).toContain('Not known: too few stores or tests to tell this room from others.');
    expect(text).not.toContain('Main cut of the room against expected');
    expect(text).toContain('No habit stands out here.');
    expect(text).toContain('Nothing stands out, and no tests are owed.');
    const owing = shown([], [], [owed]);
    expect(owing).toContain('No habit stands out here: see the owed tests cut.');
    expect(owing).toContain('Nothing stands out: use a visit for the tests that are owed.');
    expect(shown([], [{ ...effect, status: 'too-few-tests' } as Partial<EffectRow>])).toContain('Not known');
  });
  it('begins with the question whether somebody’s weights hold, before what rests on them', () => {
    const habit = {
      ...rise,
      kind: 'over-trimming',
      item: '180',
      moneyPerWeek: 9,
      moneyLow: 5,
      moneyHigh: 12,
    };
    const asked = { ...rise, kind: 'weights-not-weighed', says: 'Are all lines weighed?' };
    expect(shown([habit, asked], [])).toMatch(
      /Ask at cutter ab12 how tests are weighed[.].*In the room.*Ask at cutter ab12.*Are all lines weighed[?] Also, if the weights hold: main cut/s,
    );
    expect(shown([habit], [])).toContain('Main cut of strip loin (180) is cut off with fat and trim at');
  });
  it('draws a room that is known with its tests', () => {
    const text = shown([], [effect as Partial<EffectRow>]);
    expect(text).not.toContain('Not known');
    expect(text).toMatch(/Main cut of the room against expected, by item.*17 tests.*−4[.]8.*−5[.]8.*−3[.]8/s);
  });
  it('tells a cutter whose level rose as somebody to learn from, not as a habit of the visit', () => {
    const text = shown([rise], []);
    expect(text).toMatch(
      /To learn from.*Cutter ab12 on all items: saleable has risen.*Ask what is done differently/s,
    );
    expect(text).toContain('Nothing to put right here, but something to learn.');
    expect(text).not.toContain('Nothing stands out');
    expect(shown([{ ...rise, effect: -2.1 }], [])).toMatch(/Ask cutter ab12 what changed/);
    expect(shown([], [])).not.toContain('To learn from');
  });
  it('tells a rise as part of the question where fat may be left on, not as something to learn', () => {
    const doubt = { ...rise, kind: 'under-trimming', says: 'Main cut above expected. Is fat left on?' };
    const text = shown([rise, doubt], []);
    expect(text).toMatch(
      /Look at the fat cover with cutter ab12.*Also: what one cutter gets out of all items has risen[.]/s,
    );
    expect(text).not.toContain('To learn from');
  });
  it('says once what the owed tests are for, and what is at stake until they are cut', () => {
    expect(shown([], [], [owed])).toMatch(/to tell whether main cut is lost[|]+\$13[|]/);
  });
});
