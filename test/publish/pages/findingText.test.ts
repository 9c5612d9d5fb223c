import { describe, expect, it } from 'vitest';
import type { FindingRow } from '../../../src/findings/found.ts';
import { findingAsk, groupAction, questionFirst, toVisit } from '../../../src/publish/pages/findingAction.ts';
import {
  findingCost,
  findingNews,
  findingProblem,
  findingSays,
  findingWorth,
  newsLinks,
} from '../../../src/publish/pages/findingText.ts';
import { formats } from '../../../src/publish/pages/formats.ts';
import type { TrainerFacts } from '../../../src/publish/pages/trainerFacts.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const facts = {
  store: () => 'Mill Street',
  who: () => 'cutter ab12',
  item: () => 'strip loin (180)',
  lone: new Map(),
} as unknown as TrainerFacts;
const finding = {
  kind: 'over-trimming',
  status: 'new',
  store: 's-1',
  cutter: 'c-1',
  item: '180',
  moneyPerWeek: 58.8,
  moneyLow: 41.7,
  moneyHigh: 75.9,
  says: 'Main cut 4.2 points below expected (95 % interval 3.2 to 5.2), over 14 tests against the others.',
  step: 'Watch the lip.',
} as FindingRow;
const seen = finding.says;

describe('what a finding says', () => {
  it('is told in the signs of the pages: a true minus, a space before per cent', () => {
    const says = '72% of 36 pieces out of spec, seen -2.8, 11-13 lb.';
    expect(findingSays({ ...finding, says })).toBe('72 % of 36 pieces out of spec, seen −2.8, 11-13 lb.');
  });
  it('names who and on what where nothing beside it does, and what is over', () => {
    expect(findingNews(finding, facts)).toBe(
      `Cutter ab12 on strip loin (180): ${seen.replace('Main', 'main')}`,
    );
    expect(findingNews({ ...finding, cutter: '', item: '', status: 'resolved' }, facts)).toContain(
      'Mill Street on all items: no longer seen. It was: main cut',
    );
  });
  it('adds money of several with its interval, and says where it is not priced', () => {
    expect(findingWorth([finding], write)).toMatchObject({ worth: '$59', worthNote: 'a week, $42 to $76' });
    expect(findingWorth([{ ...finding, moneyPerWeek: Number.NaN }], write)).toMatchObject({
      worth: '',
      worthNote: 'not priced',
    });
  });
  it('ends a sentence with what it costs, never without the interval', () => {
    expect(findingCost(finding, write)).toBe(', about $59 a week ($42 to $76)');
    expect(findingCost({ ...finding, moneyLow: -3 }, write)).toContain('perhaps nothing (−$3 to $76)');
    expect(findingCost({ ...finding, moneyPerWeek: Number.NaN }, write)).toBe('');
  });
  it('speaks of a week only where a volume is known', () => {
    expect(findingWorth([{ ...finding, ofTestsSeen: true }], write)).toMatchObject({
      worthNote: 'in the tests seen, $42 to $76',
    });
  });
  it('adds up what a habit and a change carry, each its own part, and does not say that a habit may hold where it does', () => {
    const drift = { ...finding, kind: 'drift', item: '', moneyPerWeek: 40 };
    expect(findingWorth([finding, drift], write).worth).toBe('$99');
    expect(findingWorth([drift], write).worth).toBe('$40');
    expect(findingWorth([finding, { ...drift, moneyPerWeek: Number.NaN }], write).worth).toBe('$59');
    const told = { ...facts, cutterFile: () => '', storeFile: () => '' } as unknown as TrainerFacts;
    const elsewhere = { ...finding, item: '184' };
    const { why } = groupAction([finding, drift, finding, elsewhere], told, write);
    expect(why).toBe(
      `${seen} The same may hold on strip loin (180). Also: what one cutter gets out of all items has fallen.`,
    );
    expect(groupAction([finding, finding], told, write).why).toBe(seen);
  });
  it('blames nobody for a room in which one cutter cut, and speaks of no whole room there', () => {
    const room = { ...finding, kind: 'room-habit', cutter: '' };
    const alone = { ...facts, lone: new Map([['s-1', 'c-1']]) } as TrainerFacts;
    expect(findingAsk(room, facts)).toBe('Cut with the whole room at Mill Street: strip loin (180)');
    expect(findingAsk(room, alone)).toBe('Look at room and cutter together at Mill Street: strip loin (180)');
    expect(findingProblem(room, alone)).toBe(
      'the room, or its one cutter, trims too deep on strip loin (180)',
    );
    expect(findingProblem(finding, alone)).toContain('at one cutter’s table');
  });
  it('asks first whether the weights hold, on which what else is told of somebody rests', () => {
    const told = { ...facts, cutterFile: () => '', storeFile: () => '' } as unknown as TrainerFacts;
    const asked = {
      ...finding,
      kind: 'weights-not-weighed',
      item: '',
      moneyPerWeek: Number.NaN,
      says: 'Rounded?',
    };
    const own = questionFirst([finding, asked]);
    expect(own).toEqual([asked, finding]);
    expect(groupAction(own, told, write)).toMatchObject({
      what: 'Ask at cutter ab12 how tests are weighed',
      why: 'Rounded? Also, if the weights hold: main cut of strip loin (180) is cut off with fat and trim at one cutter’s table.',
      worth: '$59',
    });
  });
  it('ends a sentence with the problem, or says nothing', () => {
    expect(findingProblem({ ...finding, went: 'lean trim' }, facts)).toBe(
      'main cut of strip loin (180) goes into the trim tub at one cutter’s table',
    );
    expect(findingProblem({ ...finding, went: 'fat' }, facts)).toContain('is cut off with the fat at');
    expect(findingProblem({ ...finding, kind: 'scale-question' }, facts)).toBe('');
  });
  it('tells a level that rose as something to learn, before what is gone, and never as a visit', () => {
    const told = {
      ...facts,
      cutterFile: () => 'cutter.html',
      storeFile: () => '',
    } as unknown as TrainerFacts;
    const rise = {
      ...finding,
      kind: 'drift',
      effect: 2.1,
      moneyPerWeek: Number.NaN,
      says: 'Saleable has risen by 2.1 points since 2026-03-02.',
      step: 'Ask what is done differently.',
    };
    const fall = { ...rise, effect: -2.1 };
    const gone = { ...finding, status: 'resolved' as const };
    const doubted = (...cutters: string[]) => ({ doubted: new Set(cutters) });
    const coached = { ...finding, kind: 'improved' };
    expect(toVisit([rise, gone, coached, fall, finding], doubted())).toEqual([fall, finding]);
    expect(toVisit([rise, fall, gone], doubted('c-1'))).toEqual([fall, rise]);
    expect(findingProblem(rise, told)).toBe('what one cutter gets out of strip loin (180) has risen');
    expect(findingAsk(rise, told)).toBe('Learn from cutter ab12: strip loin (180)');
    expect(findingAsk(fall, told)).toBe('Ask cutter ab12 what changed on strip loin (180)');
    expect(newsLinks([gone, rise], told)).toEqual([
      {
        text: 'Cutter ab12 on strip loin (180): saleable has risen by 2.1 points since 2026-03-02. Ask what is done differently.',
        href: 'cutter.html',
      },
      { text: expect.stringContaining('no longer seen. It was: main cut'), href: 'cutter.html' },
    ]);
  });
});
