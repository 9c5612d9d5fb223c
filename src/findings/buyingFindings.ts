import type { Chain } from '../catalog/chain.ts';
import { findingKinds, findingWords, stepOf } from '../faults/findingKinds.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import { benjaminiHochberg } from '../tables/benjaminiHochberg.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { type ClaimLevel, claimLevel, judgedTests } from './buying/claimLevels.ts';
import { claimId } from './buying/claimLots.ts';
import { type ClaimKind, claimKinds, lostPercent } from './buying/claims.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { FindingRow } from './found.ts';

/** At most one in twenty claims of a kind is to be one on a supplier like the others. */
const mostFalse = 0.05;

/** What the buyer can claim per supplier: purge, short weight, pieces outside the range bought; each with its worst tests. `isKnown`: seen before tonight. */
export const buyingFindings = (
  used: readonly MeasuredTest[],
  chain: Chain,
  isKnown: (test: MeasuredTest) => boolean = () => false,
): FindingRow[] => {
  const before = used.filter(isKnown);
  return claimKinds(chain).flatMap((kind) => {
    const wasFound = new Set(clearLevels(before, kind).keys());
    return [...clearLevels(used, kind)].map(([supplier, level]) =>
      claim(kind, supplier, { chain, level, wasFound: wasFound.has(supplier) }),
    );
  });
};

/** Levels clearly above what is owed by supplier, in their order, at a false discovery rate over all suppliers tested. */
const clearLevels = (used: readonly MeasuredTest[], kind: ClaimKind): Map<string, ClaimLevel> => {
  const judged = judgedTests(used, kind);
  const suppliers = [...judged.keys()].filter((name) => name !== '').sort();
  const levels = suppliers.flatMap((supplier) => {
    const level = claimLevel(judged.get(supplier) ?? [], kind);
    return level === undefined ? [] : [{ supplier, level }];
  });
  const adjusted = benjaminiHochberg(levels.map(({ level }) => level.pValue));
  const clear = levels.filter(({ level }, i) => {
    const isApart = level.center - level.reach > kind.usualPercent + (kind.margin ?? 0);
    return isApart && (adjusted[i] as number) <= mostFalse;
  });
  return new Map(clear.map(({ supplier, level }) => [supplier, level]));
};

const claim = (
  kind: ClaimKind,
  supplier: string,
  { chain, level, wasFound }: { chain: Chain; level: ClaimLevel; wasFound: boolean },
): FindingRow => {
  const { tests: own, center, reach } = level;
  const value = (test: MeasuredTest): number => lostPercent(kind, test);
  const worst = [...own]
    .sort((a, b) => value(b) - value(a) || (a.testId < b.testId ? -1 : 1))
    .slice(0, 12)
    .sort((a, b) => a.cutDay - b.cutDay);
  const number = new Intl.NumberFormat(chain.language, { maximumFractionDigits: 2 });
  const items = [...new Set(own.map((test) => test.item))].sort();
  const range = `95 % interval ${number.format(center - reach)} to ${number.format(center + reach)}`;
  const usual = `the usual ${number.format(kind.usualPercent)} %`;
  const against = Number.isNaN(level.others)
    ? usual
    : `${usual} and ${number.format(level.others)} % of the other suppliers, same items, treatments and days since pack`;
  return {
    findingId: claimId(kind.kind, supplier),
    kind: kind.kind,
    reader: findingKinds[kind.kind].reader,
    region: '',
    store: '',
    cutter: '',
    item: items.length === 1 ? (items[0] as string) : '',
    outcome: kind.kind,
    status: wasFound ? 'continuing' : 'new',
    since: isoFromDay((worst[0] as MeasuredTest).cutDay),
    effect: center,
    low: center - reach,
    high: center + reach,
    chance: 1 - level.pValue,
    moneyPerWeek: Number.NaN,
    moneyLow: Number.NaN,
    moneyHigh: Number.NaN,
    tests: own.length,
    comparedWith: against,
    ...findingWords(kind.kind, {
      who: supplier,
      item: items.join(', '),
      size: number.format(center),
      range,
      tests: chainNumbers(chain).tests(own.length),
      against,
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
    step: stepOf(kind.kind),
  };
};
