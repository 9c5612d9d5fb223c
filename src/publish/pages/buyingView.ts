import type { Chain } from '../../catalog/chain.ts';
import type { BuyingNight, IndifferenceRow, RankedQuote } from '../../findings/buying/buyingRows.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { WhatIfData } from '../client/whatIfData.ts';
import type { Table } from './dataTable.tsx';
import { type Formats, formats } from './formats.ts';
import { turningText } from './turningText.ts';
import { worthTable } from './worthTable.ts';

/** One quote as the buyer reads it; texts already written. */
export type QuoteRead = {
  supplier: string;
  /** Range, spec and grade. */
  range: string;
  what: string;
  price: string;
  landed: string;
  perSaleable: string;
  /** Margin per billed weight, and its 95 % interval. */
  left: string;
  low: string;
  high: string;
  afterLabor: string;
  chance: string;
  tests: number;
  assumed: string;
};
export type QuotesOfItem = {
  item: string;
  quotes: QuoteRead[];
  margins: DotRow[];
  tests: number;
  sentences: string[];
  /** How sure the first is before the second; undefined without two. */
  race: Race | undefined;
  /** Each open quote against each other offer. */
  worth: Table;
  /** What would turn the choice between the first two; '' without two. */
  turning: string;
  /** Ways of cutting the quotes are valued by. */
  methods: string[];
};

/** The first quote beside the second: `isTie` where its chance of being best is under 80 %. */
export type Race = {
  isTie: boolean;
  /** Quoted price of the first at which both leave the same before labor. */
  upTo: string;
  /** After labor the second leaves more. */
  laborTurns: boolean;
};

/** What the buyer's pages say of quotes: ranked by item, what each range is worth, what cannot be answered, the what-if. */
export type BuyingView = {
  /** What to buy first, in one sentence: of the items whose choice is sure, else of those nearly tied; '' without any. */
  best: string;
  items: QuotesOfItem[];
  unanswered: { what: string; missing: string }[];
  whatIf: WhatIfData;
};

const mostSentences = 4;

export type BuyingInput = { chain: Chain; buying: BuyingNight; called: (item: string) => string };

/** The buyer's reading of the night's quotes. */
export const buyingView = ({ chain, buying, called }: BuyingInput): BuyingView => {
  const write = formats(chain);
  const answered = buying.quotes.filter((quote) => quote.missing === '');
  const items = [...new Set(answered.map((quote) => quote.item))];
  const read = items.map((item): QuotesOfItem => {
    const own = answered.filter((quote) => quote.item === item);
    return {
      item: called(item),
      quotes: own.map((quote) => quoteRead(quote, write)),
      margins: own.map((quote) => ({
        label: shortText(quote, own),
        value: quote.marginPerBilledKg * write.unitKg,
        low: quote.marginLow * write.unitKg,
        high: quote.marginHigh * write.unitKg,
      })),
      tests: own.reduce((sum, quote) => sum + quote.tests, 0),
      race: raceOf(own, write),
      sentences: sentencesOf(buying.indifference.filter((row) => row.item === item)),
      worth: worthTable(
        called(item),
        buying.indifference.filter((row) => row.item === item),
        write,
      ),
      turning: turningText(own, buying.indifference, { chain, write, named: (quote) => offerText(quote) }),
      methods: [...new Set(own.map((quote) => quote.offer.method))],
    };
  });
  return {
    best: bestOf(sureFirst(read)[0], write),
    items: read,
    unanswered: buying.quotes
      .filter((quote) => quote.missing !== '')
      .map((quote) => ({ what: `${called(quote.item)}: ${offerText(quote)}`, missing: missingText(quote) })),
    whatIf: whatIfData(chain, buying, called),
  };
};

/** What is missing to value a quote, and whom a buyer can ask where tests are not what is wanting. */
const missingText = ({ missing, remedy }: Pick<RankedQuote, 'missing' | 'remedy'>): string =>
  remedy === '' ? missing : `${missing}: whoever runs the night can enter it`;

/** How an offer is called: range, spec, grade, state when frozen, supplier. */
export const offerText = (quote: RankedQuote): string =>
  [
    rangeText(quote),
    quote.supplier,
    ...(quote.plant === '' ? [] : [quote.plant]),
    ...(quote.state === 'frozen' ? ['frozen'] : []),
  ].join(', ');

const rangeText = (quote: RankedQuote): string =>
  [quote.weightClass, quote.spec, quote.grade].filter((part) => part !== '').join(' ');

/** An offer told apart from the others of its item in few letters: range, and only what differs between them. */
const shortText = (quote: RankedQuote, others: readonly RankedQuote[]): string => {
  const differs = (['spec', 'grade', 'state', 'supplier', 'plant'] as const).filter((part) =>
    others.some((other) => other[part] !== quote[part]),
  );
  return [quote.weightClass, ...differs.map((part) => quote[part])].filter((part) => part !== '').join(' ');
};

const tieBelow = 0.8;

const raceOf = ([first, second]: readonly RankedQuote[], write: Formats): Race | undefined => {
  if (first === undefined || second === undefined) return undefined;
  // the quoted price may rise as far as what is landed of it eats the lead
  const rise = (first.marginPerBilledKg - second.marginPerBilledKg) / first.landedPerKg;
  return {
    isTie: first.chanceBest < tieBelow,
    upTo: write.cents(first.pricePerKg * (1 + rise) * write.unitKg),
    laborTurns: second.marginAfterLaborPerBilledKg > first.marginAfterLaborPerBilledKg,
  };
};

/** Items in their order, those last of which the first two quotes are nearly tied. */
export const sureFirst = (items: readonly QuotesOfItem[]): QuotesOfItem[] =>
  [...items].sort((a, b) => Number(a.race?.isTie === true) - Number(b.race?.isTie === true));

/** What to buy of an item, at what price, and what that leaves with its interval. */
const bestOf = (own: QuotesOfItem | undefined, write: Formats): string => {
  const [first, second] = own?.quotes ?? [];
  if (own === undefined || first === undefined) return '';
  const at = ({ price }: QuoteRead): string => price.replace(/ delivered$/, '');
  const from = second?.supplier === first.supplier ? '' : ` from ${second?.supplier}`;
  const [or, leaves] =
    own.race?.isTie === true && second !== undefined
      ? [`, or ${second.range}${from} at ${at(second)}`, 'either leaves']
      : ['', 'it leaves'];
  return `Buy ${own.item}, ${first.range}, from ${first.supplier} at ${at(first)}${or}: ${leaves} about ${first.left} per ${write.unit} before labor (${first.low} to ${first.high}).`;
};

const quoteRead = (quote: RankedQuote, write: Formats): QuoteRead => {
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  return {
    supplier: quote.supplier,
    range: rangeText(quote),
    what: offerText(quote),
    price: `${per(quote.pricePerKg)} ${quote.basis}`,
    landed: per(quote.landedPerKg),
    perSaleable: per(quote.costPerSaleableKg),
    left: per(quote.marginPerBilledKg),
    low: per(quote.marginLow),
    high: per(quote.marginHigh),
    afterLabor: per(quote.marginAfterLaborPerBilledKg),
    chance: write.chance(quote.chanceBest),
    tests: quote.tests,
    assumed: quote.assumed,
  };
};

/** Sentences to say on the phone: between the ranges of one supplier first, then between suppliers. */
const sentencesOf = (rows: readonly IndifferenceRow[]): string[] => {
  const answered = rows.filter((row) => row.missing === '');
  const isSame = (row: IndifferenceRow): boolean =>
    row.from.supplier === row.to.supplier && row.from.grade === row.to.grade;
  return [...answered.filter(isSame), ...answered.filter((row) => !isSame(row))]
    .slice(0, mostSentences)
    .map((row) => row.sentence);
};

/** The figures of the what-if as JSON holds them: ten digits, null where not known. */
const whatIfData = (chain: Chain, { whatIf }: BuyingNight, called: (item: string) => string): WhatIfData => {
  const digits = (value: number): number => Number(value.toPrecision(12));
  const orNull = (value: number): number | null => (Number.isFinite(value) ? digits(value) : null);
  return {
    language: chain.language,
    currency: chain.currency,
    unit: chain.unit,
    kgPerUnit: formats(chain).unitKg,
    laborPerHour: orNull(chain.labor_per_hour),
    items: whatIf.map(({ item, offers, covariance }) => ({
      name: called(item),
      offers: offers.map((offer) => ({
        parts: offer.parts,
        deliveredPerKg: orNull(offer.deliveredPerKg),
        value: orNull(offer.value),
        labor: orNull(offer.labor),
        laborSd: orNull(offer.laborSd),
        hours: orNull(offer.hours),
        usable: orNull(offer.usable),
        saleable: orNull(offer.saleable),
        credit: orNull(offer.credit),
      })),
      covariance: covariance.map((row) => row.map(digits)),
    })),
  };
};
