import type { FindingRow } from '../../findings/found.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { BandRow } from '../charts/lineBand.ts';
import type { Action } from './actions.tsx';
import { type CurveFigure, curveFigures } from './curveFigures.ts';
import { formats } from './formats.ts';
import { groups } from './groups.ts';
import { meanInterval } from './meanInterval.ts';
import { names } from './names.ts';
import type { PeopleFree, PeopleFreeTest } from './peopleFree.ts';

export type Measured = DotRow & { tests: number };
export type ItemRows = { item: string; rows: Measured[] };
export type QuoteLine = {
  supplier: string;
  item: string;
  grade: string;
  range: string;
  price: number;
  basis: string;
  state: string;
  until: string;
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
    quotes: quoteLines(input, write.unitKg),
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

const quoteLines = ({ quotes }: PeopleFree, unitKg: number): QuoteLine[] =>
  quotes.map((quote) => ({
    supplier: quote.supplier,
    item: [quote.item, quote.spec].filter((part) => part !== '').join(' '),
    grade: quote.grade,
    range: quote.weightClass,
    price: quote.pricePerKg * unitKg,
    basis: quote.basis,
    state: quote.state,
    until: isoFromDay(quote.validTo) || 'open',
  }));
