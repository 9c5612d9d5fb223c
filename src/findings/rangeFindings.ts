import type { Chain } from '../catalog/chain.ts';
import type { QuoteRow } from '../normalize/normalized.ts';
import { normalCdf, z975 } from '../tables/normalDistribution.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { kilogramsPer } from '../units/weight.ts';
import type { IndifferenceRow } from './buying/buyingRows.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { FindingRow } from './found.ts';
import { noMoney, writtenFinding } from './writtenFinding.ts';

export type RangeFindingsInput = {
  chain: Chain;
  asOfDay: number;
  quotes: readonly QuoteRow[];
  /** Whether any test was known before tonight. */
  isAnyKnown: boolean;
};

/**
 * Another weight range of the same supplier, spec, grade and state that is quoted below both prices at which it would be
 * worth the same, whole interval: one finding an item, on the pair with the widest gap.
 */
export const rangeFindings = (rows: readonly IndifferenceRow[], input: RangeFindingsInput): FindingRow[] => {
  const widest = new Map<string, IndifferenceRow>();
  for (const row of rows) {
    const known = widest.get(row.item);
    if (isBetter(row) && (known === undefined || gapOf(row) > gapOf(known))) widest.set(row.item, row);
  }
  return [...widest.keys()].sort().map((item) => told(widest.get(item) as IndifferenceRow, input));
};

const gapOf = ({ sameDollars, priceToPerKg }: IndifferenceRow): number =>
  (sameDollars.price - priceToPerKg) / priceToPerKg;

const isBetter = ({ from, to, missing, priceToPerKg, sameDollars, sameMargin }: IndifferenceRow): boolean =>
  missing === '' &&
  from.weightClass !== to.weightClass &&
  (['supplier', 'spec', 'grade', 'state'] as const).every((part) => from[part] === to[part]) &&
  priceToPerKg < Math.min(sameDollars.low, sameMargin.low);

const told = (
  row: IndifferenceRow,
  { chain, asOfDay, quotes, isAnyKnown }: RangeFindingsInput,
): FindingRow => {
  const { to, from, priceToPerKg, sameDollars } = row;
  const { cash } = chainNumbers(chain);
  const price = (perKg: number): string => cash.format(perKg * kilogramsPer(chain.unit));
  const percent = (perKg: number): number => (100 * (perKg - priceToPerKg)) / priceToPerKg;
  const since = quotes
    .filter(
      (quote) =>
        quote.validFrom <= asOfDay &&
        (['supplier', 'item', 'spec', 'grade', 'weightClass', 'state'] as const).every(
          (part) => quote[part] === to[part],
        ),
    )
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
      size: `${to.weightClass} of ${to.supplier} at ${price(priceToPerKg)} per ${chain.unit} is worth ${price(sameDollars.price)} beside ${from.weightClass} at ${price(row.priceFromPerKg)}`,
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
