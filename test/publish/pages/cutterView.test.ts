import { describe, expect, it } from 'vitest';
import type { FindingRow } from '../../../src/findings/found.ts';
import type { EffectRow } from '../../../src/model/modeled.ts';
import { cutterView } from '../../../src/publish/pages/cutterView.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import type { TrainerFacts } from '../../../src/publish/pages/trainerFacts.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const effect = { outcome: 'main_cut', status: 'ok', reliability: 0.8, tests: 12 };
const effects = [
  { ...effect, item: 'chuck', effect: 1.6, low: 0.8, high: 2.4 },
  { ...effect, item: 'loin', effect: 0.2, low: -0.5, high: 0.9 },
] as EffectRow[];
const rise = {
  kind: 'drift',
  status: 'continuing',
  cutter: 'c-1',
  item: '',
  effect: 2.1,
  moneyPerWeek: Number.NaN,
  says: 'Saleable has risen by 2.1 points.',
  step: 'Ask.',
} as FindingRow;

const strengths = (findings: readonly FindingRow[], doubted: boolean): string[] => {
  const facts = {
    findings,
    doubted: new Set(doubted ? ['c-1'] : []),
    testsByCutter: new Map(),
    input: { asOfDay: 20_780, reference: { coaching: [] } },
    label: () => 'ab12',
    who: () => 'cutter ab12',
    item: (item: string) => item,
  } as unknown as TrainerFacts;
  return cutterView('c-1', effects, { facts, write }).strengths;
};

describe('what goes well on a cutter’s page', () => {
  it('names more main cut than expected, then what is as expected', () => {
    expect(strengths([], false)).toEqual([
      'More main cut than expected on chuck: +1.6 points (+0.8 to +2.4), 12 tests.',
      'Main cut as expected on loin: +0.2 points (−0.5 to +0.9), 12 tests.',
    ]);
  });
  it('tells a level that rose, and no longer one that fell back', () => {
    expect(strengths([rise], false)[0]).toBe('On all items: saleable has risen by 2.1 points.');
    expect(strengths([{ ...rise, status: 'resolved' }], false)).toHaveLength(2);
    expect(strengths([{ ...rise, effect: -2.1, status: 'resolved' }], false)[0]).toBe(
      'On all items: no longer seen. It was: saleable has risen by 2.1 points.',
    );
  });
  it('praises nothing that may be fat left on', () => {
    expect(strengths([rise], true)).toEqual([
      'Main cut as expected on loin: +0.2 points (−0.5 to +0.9), 12 tests.',
    ]);
  });
});

describe('the room on a cutter’s page', () => {
  const lost = {
    ...rise,
    kind: 'loss-high',
    cutter: '',
    store: 's-1',
    says: '1.8 points more unaccounted than expected.',
  } as FindingRow;
  const room = (findings: readonly FindingRow[]): string[] => {
    const facts = {
      findings,
      doubted: new Set(),
      testsByCutter: new Map([
        ['c-1', [{ store: 's-1', item: 'chuck', state: 'held', cutDay: 20_000, model: {} }]],
      ]),
      input: { asOfDay: 20_780, reference: { coaching: [] } },
      label: () => 'ab12',
      who: () => 'cutter ab12',
      item: (item: string) => item,
      store: (store: string) => `Shop ${store}`,
      storeFile: (store: string) => `store-${store}.html`,
      cutterFile: () => '',
    } as unknown as TrainerFacts;
    return cutterView('c-1', effects, { facts, write }).room;
  };
  it('tells what is told of it, and neither of other rooms nor of what is over', () => {
    expect(room([lost])).toEqual(['Shop s-1 on all items: 1.8 points more unaccounted than expected.']);
    expect(room([{ ...lost, store: 's-2' }, { ...lost, status: 'resolved' }, rise])).toEqual([]);
  });
});
