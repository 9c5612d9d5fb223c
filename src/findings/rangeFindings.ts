import type { Chain } from '../catalog/chain.ts';
import type { QuoteRow } from '../normalize/normalized.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { normalCdf, z975 } from '../tables/normalDistribution.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { kilogramsPer } from '../units/weight.ts';
import type { IndifferenceRow, RankedQuote } from './buying/buyingRows.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { FindingRow } from './found.ts';
import { noMoney, writtenFinding } from './writtenFinding.ts';

export type RangeFindingsInput = {
  chain: Chain;
  asOfDay: number;
  quotes: readonly QuoteRow[];
  /** Open quotes, of each item the best first. */
  ranked: readonly RankedQuote[];
  /** Whether any test was known before tonight. */
  isAnyKnown: boolean;
};

/**
 * Another weight range of the same supplier, spec, grade and state that is quoted below both prices at which it would be
 * worth the same, whole interval: one finding an item, on the range that ranks first of all quotes, with the widest gap.
 */
export const rangeFindings = (rows: readonly IndifferenceRow[], input: RangeFindingsInput): FindingRow[] => {
  const better = groupedBy(rows.filter(isBetter), ({ item }) => item);
  return [...better.keys()].sort().map((item) => {
    const ranked = input.ranked.filter((quote) => quote.item === item && quote.missing === '');
    const placeOf = ({ to }: IndifferenceRow): number => {
      const place = ranked.findIndex((quote) => isSameOffer(quote, to));
      return place < 0 ? ranked.length : place;
    };
    const [row] = [...(better.get(item) as IndifferenceRow[])].sort(
      (a, b) => placeOf(a) - placeOf(b) || gapOf(b) - gapOf(a),
    ) as [IndifferenceRow];
    return told(row, ranked[0], input);
  });
};

const offerParts = ['supplier', 'item', 'spec', 'grade', 'weightClass', 'state'] as const;
type NamedOffer = Pick<QuoteRow, (typeof offerParts)[number]>;

const isSameOffer = (a: NamedOffer, b: NamedOffer): boolean =>
  offerParts.every((part) => a[part] === b[part]);

const gapOf = ({ sameDollars, priceToPerKg }: IndifferenceRow): number =>
  (sameDollars.price - priceToPerKg) / priceToPerKg;

const isBetter = ({ from, to, missing, priceToPerKg, sameDollars, sameMargin }: IndifferenceRow): boolean =>
  missing === '' &&
  from.weightClass !== to.weightClass &&
  (['supplier', 'spec', 'grade', 'state'] as const).every((part) => from[part] === to[part]) &&
  priceToPerKg < Math.min(sameDollars.low, sameMargin.low);

const told = (
  row: IndifferenceRow,
  first: RankedQuote | undefined,
  { chain, asOfDay, quotes, isAnyKnown }: RangeFindingsInput,
): FindingRow => {
  const { to, from, priceToPerKg, sameDollars } = row;
  const { cash } = chainNumbers(chain);
  const price = (perKg: number): string => cash.format(perKg * kilogramsPer(chain.unit));
  const percent = (perKg: number): number => (100 * (perKg - priceToPerKg)) / priceToPerKg;
  const since = quotes
    .filter((quote) => quote.validFrom <= asOfDay && isSameOffer(quote, to))
    .reduce((latest, quote) => Math.max(latest, quote.validFrom), Number.NEGATIVE_INFINITY);
  return writtenFinding(
    {
      kind: 'better-range',
      store: '',
      region: '',
      cutter: '',
      item: row.item,
      outcome: 'margin',
      status: isAnyKnown && since < asOfDay ? 'continuing' : 'new',
      since: isoFromDay(Number.isFinite(since) ? since : asOfDay),
      effect: percent(sameDollars.price),
      low: percent(sameDollars.low),
      high: percent(sameDollars.high),
      chance: normalCdf((z975 * (sameDollars.price - priceToPerKg)) / (sameDollars.price - sameDollars.low)),
      tests: from.tests + to.tests,
      comparedWith: from.weightClass,
      money: noMoney,
      size: `${to.weightClass} of ${to.supplier} at ${price(priceToPerKg)} per ${chain.unit} is worth ${price(sameDollars.price)} beside ${from.weightClass} of the same supplier at ${price(row.priceFromPerKg)}`,
      seen:
        first === undefined || first.supplier === to.supplier
          ? ''
          : `while ${first.weightClass} of ${first.supplier} leaves most of all quotes`,
      evidence: [],
      adjustments: [
        'grade',
        'weight of the piece',
        row.isLaborKnown ? 'labor' : 'not for labor, which is not known',
      ],
    },
    chain,
  );
};
