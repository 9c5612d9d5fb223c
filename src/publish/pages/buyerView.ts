import type { BagLossRow } from '../../findings/buying/bagLosses.ts';
import type { ClaimLotRow, RangeRow, YieldByWeightRow } from '../../findings/buying/buyingRows.ts';
import type { FindingRow } from '../../findings/found.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { BandRow } from '../charts/lineBand.ts';
import type { Action, Fact } from './actions.tsx';
import { buyerActions, buyerAsk, isClaim } from './buyerActions.ts';
import { type BuyingView, buyingView, offerText, sureFirst } from './buyingView.ts';
import { type CurveFigure, curveFigures } from './curveFigures.ts';
import { type Cell, dayCell } from './dataTable.tsx';
import { type Formats, formats } from './formats.ts';
import type { Basis } from './frame.tsx';
import { groups } from './groups.ts';
import { meanInterval } from './meanInterval.ts';
import { midSentence } from './midSentence.ts';
import { type Names, names } from './names.ts';
import { notCounted, type PeopleFree, type PeopleFreeTest } from './peopleFree.ts';
import { pricingActions, pricingNote } from './pricingNotes.ts';

export type Measured = DotRow & { tests: number };
export type ItemRows = { item: string; rows: Measured[] };
/** An open quote in one line, texts already written. */
export type QuoteLine = {
  supplier: string;
  item: string;
  what: string;
  price: string;
  perSaleable: string;
  margin: string;
  until: Cell;
  chance: string;
  /** What is missing where it cannot be valued; '' else. */
  missing: string;
};
/** One claim: what to ask, what was seen, and its lots, the most to claim first. */
export type ClaimRead = {
  id: string;
  ask: string;
  says: string;
  step: string;
  /** What was paid for the weight above usual over all its lots. */
  paid: number;
  lotsInAll: number;
  lots: ClaimLotRow[];
};
/** Mean piece weight of one item over months, in the chain's unit. */
type WeightLine = { item: string; tests: number; rows: BandRow[] };

/** What the buyer's pages say. */
export type BuyerView = {
  lead: string;
  basis: Basis;
  facts: Fact[];
  actions: Action[];
  /** Purge that the chain takes as usual, % of billed weight. */
  usualPurge: number;
  /** Outputs without a price, as a note under costs; '' where all have one. */
  unpriced: string;
  /** Tests with a cost that stand in no row of the costs, as a note; '' where all do. */
  leftOut: string;
  costs: ItemRows[];
  supplierYield: Measured[];
  supplierPurge: Measured[];
  weights: WeightLine[];
  /** Items whose pieces get heavier, each in one sentence. */
  heavier: string[];
  curves: CurveFigure[];
  claims: ClaimRead[];
  quotes: QuoteLine[];
  /** What each range gives; `item` is a name with its spec. */
  ranges: RangeRow[];
  bagLosses: BagLossRow[];
  /** Yield, value and cost over piece weight, by item and spec. */
  byWeight: { title: string; rows: YieldByWeightRow[] }[];
  buying: BuyingView;
};

const fewest = 5;
const mostRows = 12;
const mostLots = 25;

/** Everything the buyer's pages show, from tables without people. */
export const buyerView = (input: PeopleFree): BuyerView => {
  const write = formats(input.chain);
  const called = names(input.chain, input.stores);
  const buying = buyingView({ chain: input.chain, buying: input.buying, called: called.item });
  const weights = weightLines(input, called.item, write.unitKg);
  const findings = input.buyerFindings;
  const claims = findings.filter(isClaim);
  const claimed = claims.map((claim) => claimRead(claim, input, called.item));
  const costs = groups(input.tests, (test) => test.item).map(([item, own]) => ({
    item: called.item(item),
    rows: measured(own, rangeName, (test) => test.costPerSaleableKg * write.unitKg),
  }));
  return {
    lead: leadOf(
      buying,
      claims.map((claim) => buyerAsk(claim, called.item)),
    ),
    basis: {
      data: `Data to ${write.day(input.asOf)}. ${input.reported}.`,
      adjusted: `Margin is sales less meat cost. ${notCounted} Group means are as cut, not adjusted for who cut them; curves and supplier differences are within one method.`,
    },
    facts: factsOf(input, buying, claims.length),
    actions: [
      ...pricingActions(input.merchandise, write),
      ...buyerActions(
        {
          items: sureFirst(buying.items),
          findings,
          called: called.item,
          paid: new Map(claimed.map(({ id, paid }) => [id, paid])),
        },
        write,
      ),
    ],
    unpriced: pricingNote(input.merchandise, write),
    usualPurge: input.chain.claims.usual_purge,
    leftOut: leftOutOfCosts(input.tests, costs, write),
    costs,
    supplierYield: measured(
      input.tests,
      (test) => test.supplier,
      (test) => test.beyond.withSupplier * 100,
    ),
    supplierPurge: measured(
      input.tests,
      (test) => test.supplier,
      (test) => test.purgeOfBilled * 100,
    ),
    weights,
    heavier: findings
      .filter((finding) => finding.kind === 'heavier-trend')
      .map(
        (finding) => `${buyerAsk(finding, called.item)}: ${midSentence(finding.says.split(';')[0] ?? '')}.`,
      ),
    curves: curveFigures(input, called.item, write.unitKg),
    claims: claimed,
    quotes: quoteLines(input, called),
    ranges: input.buying.ranges.map((row) => ({
      ...row,
      item: [called.item(row.item), row.spec].filter((part) => part !== '').join(', '),
    })),
    bagLosses: input.buying.bagLosses,
    byWeight: groups(input.buying.byWeight, (row) => `${row.item}\u0000${row.spec}`).map(([, rows]) => {
      const { item, spec } = rows[0] as YieldByWeightRow;
      return { title: [called.item(item), spec].filter((part) => part !== '').join(', '), rows };
    }),
    buying,
  };
};

const factsOf = (input: PeopleFree, buying: BuyingView, claims: number): Fact[] => {
  const write = formats(input.chain);
  return [
    {
      value: write.count(buying.items.reduce((sum, own) => sum + own.quotes.length, 0)),
      means: `of ${write.count(input.buying.quotes.length)} open quotes valued`,
      href: 'quotes.html',
    },
    {
      value: write.count(claims),
      means: claims === 1 ? 'claim to make' : 'claims to make',
      href: 'claims.html',
    },
    { value: write.count(input.tests.length), means: 'cutting tests behind these figures', href: '' },
  ];
};

/** The best quote, then the first claim: what a buyer says first, in few words. */
const leadOf = ({ best }: BuyingView, claims: readonly string[]): string => {
  if (best === '' && claims.length === 0)
    return 'No open quote can be valued and no claim stands out; compare what each range costs by saleable weight.';
  return [best, ...claims.slice(0, 1).map((claim) => `${claim}.`)].filter((part) => part !== '').join(' ');
};

const weightLines = ({ tests }: PeopleFree, called: (item: string) => string, unitKg: number): WeightLine[] =>
  groups(tests, (test) => test.item).map(([item, own]) => ({
    item: called(item),
    tests: own.length,
    rows: groups(own, (test) => test.month)
      .map(([x, month]) => ({
        x,
        ...withoutCount(meanInterval(month.map((test) => test.meanPieceKg / unitKg))),
      }))
      .filter((row) => Number.isFinite(row.low)),
  }));

const rangeName = (test: PeopleFreeTest): string =>
  test.weightClass === ''
    ? ''
    : [test.spec, test.grade, test.weightClass].filter((part) => part !== '').join(', ');

/** Why tests stand in no row: their cost is not known, no weight class of their item holds them, or too few are alike. */
export const leftOutOfCosts = (
  tests: readonly Pick<PeopleFreeTest, 'weightClass' | 'costPerSaleableKg'>[],
  costs: readonly ItemRows[],
  write: Formats,
): string => {
  const costed = tests.filter((test) => Number.isFinite(test.costPerSaleableKg));
  const shown = costs.flatMap(({ rows }) => rows).reduce((sum, row) => sum + row.tests, 0);
  const outside = costed.filter((test) => test.weightClass === '').length;
  const rare = costed.length - shown - outside;
  const unknown = tests.length - costed.length;
  const why = [
    ...(unknown === 0 ? [] : [`${write.tests(unknown)} without a known cost`]),
    ...(outside === 0
      ? []
      : [`${write.tests(outside)} in no weight class of ${outside === 1 ? 'its' : 'their'} item`]),
    ...(rare === 0 ? [] : [`${write.tests(rare)} of which too few are alike`]),
  ];
  return why.length === 0 ? '' : ` Left out: ${why.join(', ')}.`;
};

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

const claimRead = (
  claim: FindingRow,
  { claimLots }: PeopleFree,
  called: (item: string) => string,
): ClaimRead => {
  const lots = claimLots.filter((row) => row.findingId === claim.findingId);
  const paid = lots.reduce((sum, row) => sum + (Number.isFinite(row.money) ? row.money : 0), 0);
  return {
    id: claim.findingId,
    ask: buyerAsk(claim, called),
    says: claim.says,
    step: claim.step,
    paid,
    lotsInAll: lots.length,
    lots: lots.slice(0, mostLots).map((row) => ({ ...row, item: called(row.item) })),
  };
};

const quoteLines = ({ buying, chain }: PeopleFree, called: Names): QuoteLine[] => {
  const write = formats(chain);
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  return buying.quotes.map((quote) => ({
    supplier: quote.supplier,
    item: called.item(quote.item),
    what: offerText(quote),
    price: `${per(quote.pricePerKg)} ${quote.basis}`,
    perSaleable: per(quote.costPerSaleableKg),
    margin: per(quote.marginPerBilledKg),
    until: dayCell(isoFromDay(quote.validTo), write) || 'open',
    chance: quote.missing === '' ? write.chance(quote.chanceBest) : '',
    missing: quote.missing,
  }));
};
