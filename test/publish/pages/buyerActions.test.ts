import { describe, expect, it } from 'vitest';
import type { FindingRow } from '../../../src/findings/found.ts';
import type { Action } from '../../../src/publish/pages/actions.tsx';
import { buyerActions, buyerAsk, isClaim } from '../../../src/publish/pages/buyerActions.ts';
import type { QuoteRead, QuotesOfItem, Race } from '../../../src/publish/pages/buyingView.ts';
import { formats } from '../../../src/publish/pages/formats.ts';

const write = formats({ language: 'en', currency: 'USD', unit: 'lb' });
const called = (item: string): string => `ribeye (${item})`;
const paid = new Map([['c-1', 812.4]]);
const claim = {
  findingId: 'c-1',
  kind: 'purge-high',
  item: '',
  about: 'Mill Meats',
  says: '3.0 % of billed weight is lost as purge.',
  step: 'Claim with the lots listed.',
  moneyPerWeek: Number.NaN,
} as FindingRow;
const heavier = {
  ...claim,
  findingId: 'h-1',
  kind: 'heavier-trend',
  item: '112A',
  about: '112A',
  says: 'Pieces get heavier, 7.8 % a year (95 % interval 5.2 to 10.3), over 684 tests.',
  moneyPerWeek: 290,
  moneyLow: 103.5,
  moneyHigh: 476.51,
} as FindingRow;

describe('what a buyer should do next', () => {
  it('names the supplier or item once: in the ask, not in what was seen', () => {
    expect(buyerAsk(claim, called)).toBe('Claim purge from Mill Meats');
    expect(buyerAsk(heavier, called)).toBe('Ask for lighter pieces of ribeye (112A)');
  });
  it('sets the money with its interval beside what was seen', () => {
    const actions = buyerActions({ items: [], findings: [heavier], called, paid }, write);
    expect(actions[0]).toMatchObject({
      why: `${heavier.says} Counted at one price: a heavier range that is quoted low enough may still be the better buy.`,
      worth: '$290',
      worthNote: 'lost a week, $104 to $477',
    });
  });
  it('puts claims before the rest, and only claims lead to lots', () => {
    const actions = buyerActions({ items: [], findings: [heavier, claim], called, paid }, write);
    expect(actions.map((action) => action.links[0]?.href)).toEqual([
      'claims.html',
      'ranges.html#piece-weight-by-month',
    ]);
    expect([claim, heavier].map(isClaim)).toEqual([true, false]);
    expect(actions[0]).toMatchObject({
      worth: '$812',
      worthNote: 'paid for the weight above usual in the lots tested',
    });
  });
  it('says of two ranges of one supplier that they are no more than that', () => {
    const range = { ...claim, findingId: 'r-1', kind: 'better-range', item: '112A', about: '112A' };
    const [action] = buyerActions({ items: [], findings: [range], called, paid }, write);
    expect(action).toMatchObject({
      what: 'Within one supplier, take the better range of ribeye (112A)',
      worth: '',
    });
    expect(action?.why).toMatch(/^3[.]0 % .* Two ranges of the same supplier at delivered prices/);
  });
  it('says a kind it has no words for by its name', () => {
    expect(buyerAsk({ ...claim, kind: 'late-truck' }, called)).toBe('late truck Mill Meats');
  });
  it('says how far the price may rise before the second leaves as much, and calls a near tie one', () => {
    const quote = (what: string, price: string, left: string): QuoteRead =>
      ({ what, price, left, chance: '95 %', low: '$1.95', high: '$2.15', afterLabor: left }) as QuoteRead;
    const quotes = [
      quote('15-up Choice', '$10.70 delivered', '$2.07'),
      quote('11-13 Choice', '$10.90 delivered', '$2.06'),
    ];
    const item = (race: Race): QuotesOfItem => ({ item: 'ribeye', quotes, race }) as QuotesOfItem;
    const told = (race: Race) =>
      buyerActions({ items: [item(race)], findings: [], called, paid }, write)[0] as Action;
    const clear = told({ isTie: false, upTo: '$10.71', laborTurns: true });
    expect(clear.what).toBe('ribeye: take 15-up Choice at $10.70 delivered');
    expect(clear.next).toBe('ask for less; above $10.71 it no longer leaves more than 11-13 Choice.');
    expect(clear.why).toContain('before labor and more after it ($2.06 against $2.07)');
    const tie = told({ isTie: true, upTo: '$10.71', laborTurns: false });
    expect(tie.what).toBe(
      'ribeye: take 15-up Choice at $10.70 delivered, or 11-13 Choice at $10.90 delivered',
    );
    expect(tie.why).toMatch(
      /^Nearly a tie, ranked before labor: of 2 quotes the first is best with 95 % chance; it leaves [$]2[.]07, the second [$]2[.]06[.]/,
    );
    expect(tie.why).not.toContain('after it');
  });
});
