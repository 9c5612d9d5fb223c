import { mean, sampleStandardDeviation } from 'simple-statistics';
import type { Chain } from '../catalog/chain.ts';
import { type FindingKindName, findingKinds, findingWords, stepOf } from '../faults/findingKinds.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import { z975 } from '../tables/normalDistribution.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { claimId } from './buying/claimLots.ts';
import { claimKinds, lostPercent } from './buying/claims.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { FindingRow } from './found.ts';

const fewest = 8;

/** What the buyer can claim per supplier: purge, short weight, pieces outside the range bought; each with its worst tests. `isKnown`: seen before tonight. */
export const buyingFindings = (
  used: readonly MeasuredTest[],
  chain: Chain,
  isKnown: (test: MeasuredTest) => boolean = () => false,
): FindingRow[] => {
  const suppliers = [...new Set(used.map((test) => test.supplier))].filter((name) => name !== '').sort();
  return suppliers.flatMap((supplier) => {
    const own = used.filter((test) => test.supplier === supplier);
    return claimKinds(chain).flatMap((kind) =>
      claim(kind.kind, supplier, {
        chain,
        tests: own,
        value: (test) => lostPercent(kind, test),
        above: kind.usualPercent,
        isKnown,
      }),
    );
  });
};

type Claim = {
  chain: Chain;
  tests: readonly MeasuredTest[];
  value: (test: MeasuredTest) => number;
  above: number;
  isKnown: (test: MeasuredTest) => boolean;
};

/** Mean and half of its 95 % interval, where that is clearly above what is usual; undefined where not, or below 8 tests. */
const clearlyAbove = (
  tests: readonly MeasuredTest[],
  { value, above }: Claim,
): { center: number; reach: number } | undefined => {
  const values = tests.map(value);
  if (values.length < fewest) return undefined;
  const center = mean(values);
  const reach = (z975 * sampleStandardDeviation(values)) / Math.sqrt(values.length);
  return center - reach > above ? { center, reach } : undefined;
};

const claim = (kind: FindingKindName, supplier: string, claimed: Claim): FindingRow[] => {
  const { chain, value, above } = claimed;
  const own = claimed.tests.filter((test) => Number.isFinite(value(test)));
  const found = clearlyAbove(own, claimed);
  if (found === undefined) return [];
  const { center, reach } = found;
  const wasFound = clearlyAbove(own.filter(claimed.isKnown), claimed) !== undefined;
  const worst = [...own]
    .sort((a, b) => value(b) - value(a) || (a.testId < b.testId ? -1 : 1))
    .slice(0, 12)
    .sort((a, b) => a.cutDay - b.cutDay);
  const number = new Intl.NumberFormat(chain.language, { maximumFractionDigits: 2 });
  const items = [...new Set(own.map((test) => test.item))].sort();
  const range = `95 % interval ${number.format(center - reach)} to ${number.format(center + reach)}`;
  return [
    {
      findingId: claimId(kind, supplier),
      kind,
      reader: findingKinds[kind].reader,
      region: '',
      store: '',
      cutter: '',
      item: items.length === 1 ? (items[0] as string) : '',
      outcome: kind,
      status: wasFound ? 'continuing' : 'new',
      since: isoFromDay((worst[0] as MeasuredTest).cutDay),
      effect: center,
      low: center - reach,
      high: center + reach,
      chance: 1,
      moneyPerWeek: Number.NaN,
      moneyLow: Number.NaN,
      moneyHigh: Number.NaN,
      tests: own.length,
      comparedWith: `the usual ${number.format(above)} %`,
      ...findingWords(kind, {
        who: supplier,
        item: items.join(', '),
        size: number.format(center),
        range,
        tests: chainNumbers(chain).tests(own.length),
        against: `the usual ${number.format(above)} %`,
        money: '',
        went: '',
      }),
      evidence: worst.map((test) => ({
        store: test.store,
        testId: test.testId,
        sourceFile: test.sourceFile,
        sourceLine: test.sourceLine,
      })),
      adjustments: [],
      step: stepOf(kind),
    },
  ];
};
