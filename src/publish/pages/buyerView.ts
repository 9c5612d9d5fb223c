import type { FindingRow } from '../../findings/found.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { BandRow } from '../charts/lineBand.ts';
import type { Action } from './actions.tsx';
import { type BuyingView, buyingView, offerText } from './buyingView.ts';
import { type CurveFigure, curveFigures } from './curveFigures.ts';
import { formats } from './formats.ts';
import { groups } from './groups.ts';
import { meanInterval } from './meanInterval.ts';
import { type Names, names } from './names.ts';
import type { PeopleFree, PeopleFreeTest } from './peopleFree.ts';

export type Measured = DotRow & { tests: number };
export type ItemRows = { item: string; rows: Measured[] };
/** An open quote in one line, texts already written; `answer` says what is missing where it cannot be valued. */
export type QuoteLine = {
  supplier: string;
  item: string;
  what: string;
  price: string;
  landed: string;
  perSaleable: string;
  margin: string;
  answer: string;
};
/** What the buyer's pages say. */
export type BuyerView = {
  lead: string;
  basis: string;
  actions: Action[];
  costs: ItemRows[];
  supplierYield: Measured[];
  supplierPurge: Measured[];
  weights: { item: string; tests: number; rows: BandRow[] }[];
  curves: CurveFigure[];
  claims: FindingRow[];
  lots: { supplier: string; lot: string; item: string; purge: number; tests: number }[];
  quotes: QuoteLine[];
  buying: BuyingView;
};

const fewest = 5;
const mostRows = 24;
const mostLots = 15;

/** Everything the buyer's pages show, from tables without people. */
export const buyerView = (input: PeopleFree): BuyerView => {
  const write = formats(input.chain);
  const called = names(input.chain, input.stores);
  const first = input.claims[0];
  return {
    lead:
      first === undefined
        ? 'No claim stands out; compare what a saleable pound costs by range before you quote.'
        : `${input.claims.length} claim${input.claims.length === 1 ? '' : 's'} to make. ${first.headline}`,
    basis: `Data to ${input.asOf}; ${input.reported}. Cutting margin before packaging, case shrink, markdown; not the P&L. Group means are as cut, not adjusted for who cut them; curves and supplier differences are within one method.`,
    actions: input.claims.map((claim) => ({
      what: claimAsk(claim),
      why: claim.headline,
      worth: claim.moneyPerWeek > 0 ? write.money(claim.moneyPerWeek) : '',
      worthNote: claim.moneyPerWeek > 0 ? 'a week' : '',
      links: [{ text: 'Lots to name', href: 'claims.html' }],
    })),
    costs: groups(input.tests, (test) => test.item).map(([item, own]) => ({
      item: called.item(item),
      rows: measured(own, rangeName, (test) => test.costPerSaleableKg * write.unitKg),
    })),
    supplierYield: measured(
      input.tests,
      (test) => test.supplier,
      (test) => test.residual * 100,
    ),
    supplierPurge: measured(
      input.tests,
      (test) => test.supplier,
      (test) => test.purgeOfBilled * 100,
    ),
    weights: groups(input.tests, (test) => test.item).map(([item, own]) => ({
      item: called.item(item),
      tests: own.length,
      rows: groups(own, (test) => test.month)
        .map(([x, month]) => ({
          x,
          ...withoutCount(meanInterval(month.map((test) => test.meanPieceKg / write.unitKg))),
        }))
        .filter((row) => Number.isFinite(row.low)),
    })),
    curves: curveFigures(input, write.unitKg),
    claims: input.claims,
    lots: lotsOf(input.tests),
    quotes: quoteLines(input, called),
    buying: buyingView({ chain: input.chain, buying: input.buying, called: called.item }),
  };
};

const asks: Record<string, string> = {
  'purge-high': 'Claim purge',
  'short-weight': 'Claim short weight',
  'out-of-range-pieces': 'Claim pieces outside the range',
  'better-range': 'Buy another range',
  'supplier-gap': 'Weigh the supplier gap in the next quote',
  'heavier-trend': 'Ask for lighter pieces',
};

const claimAsk = (claim: FindingRow): string => {
  const whom = /^([^:]{1,60}):/.exec(claim.headline)?.[1];
  const ask = asks[claim.kind] ?? claim.kind.replaceAll('-', ' ');
  return whom === undefined ? ask : `${ask}: ${whom}`;
};

const rangeName = (test: PeopleFreeTest): string =>
  test.weightClass === ''
    ? ''
    : [test.spec, test.grade, test.weightClass].filter((part) => part !== '').join(', ');

/** Means of groups of 5 or more tests with 95 % intervals, lowest first. */
const measured = (
  tests: readonly PeopleFreeTest[],
  key: (test: PeopleFreeTest) => string,
  value: (test: PeopleFreeTest) => number,
): Measured[] =>
  groups(tests, key)
    .map(([label, own]) => {
      const { n, ...mean } = meanInterval(own.map(value));
      return { label, ...mean, tests: n };
    })
    .filter((row) => row.tests >= fewest && row.label !== '')
    .sort((a, b) => a.value - b.value)
    .slice(0, mostRows);

const withoutCount = ({ value, low, high }: ReturnType<typeof meanInterval>): Omit<BandRow, 'x'> => ({
  value,
  low,
  high,
});

const lotsOf = (tests: readonly PeopleFreeTest[]): BuyerView['lots'] =>
  groups(
    tests.filter((test) => test.lot !== '' && Number.isFinite(test.purgeOfBilled)),
    (test) => `${test.supplier}\u0000${test.lot}\u0000${test.item}`,
  )
    .map(([, own]) => {
      const { supplier, lot, item } = own[0] as PeopleFreeTest;
      return {
        supplier,
        lot,
        item,
        purge: meanInterval(own.map((test) => test.purgeOfBilled)).value,
        tests: own.length,
      };
    })
    .sort((a, b) => b.purge - a.purge || (a.lot < b.lot ? -1 : 1))
    .slice(0, mostLots);

const quoteLines = ({ buying, chain }: PeopleFree, called: Names): QuoteLine[] => {
  const write = formats(chain);
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  return buying.quotes.map((quote) => ({
    supplier: quote.supplier,
    item: called.item(quote.item),
    what: offerText(quote),
    price: `${per(quote.pricePerKg)} ${quote.basis} to ${isoFromDay(quote.validTo) || 'open'}`,
    landed: per(quote.landedPerKg),
    perSaleable: per(quote.costPerSaleableKg),
    margin: per(quote.marginPerBilledKg),
    answer: quote.missing === '' ? `${write.percent(quote.chanceBest)} chance of being best` : quote.missing,
  }));
};
