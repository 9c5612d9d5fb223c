import type { Chain } from '../catalog/chain.ts';
import { findingKinds, findingWords, stepOf } from '../faults/findingKinds.ts';
import type { MeasuredTest } from '../measure/measured.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { type ClaimLevel, levelOfLots } from './buying/claimLevels.ts';
import { claimId } from './buying/claimLots.ts';
import { type ClaimKind, claimKinds, lostPercent } from './buying/claims.ts';
import { clearClaims } from './buying/clearClaims.ts';
import type { SureLot } from './buying/sureLots.ts';
import { chainNumbers } from './chainNumbers.ts';
import type { FindingRow } from './found.ts';

/** What the buyer can claim per supplier: purge, short weight, pieces outside the range bought; each with its worst tests. `isKnown`: seen before tonight. */
export const buyingFindings = (
  used: readonly MeasuredTest[],
  chain: Chain,
  isKnown: (test: MeasuredTest) => boolean = () => false,
): FindingRow[] => {
  const before = used.filter(isKnown);
  return claimKinds(chain).flatMap((kind) => {
    const wasFound = clearClaims(before, kind, chain).claims;
    return [...clearClaims(used, kind, chain).claims].map(([supplier, { level, lots }]) =>
      claim(kind, supplier, {
        chain,
        level: level ?? levelOfLots(lots),
        lots: level === undefined ? lotsText(lots) : '',
        wasFound: wasFound.has(supplier),
      }),
    );
  });
};

const mostLots = 3;

/** The lots in words, those with the most tests by name. */
const lotsText = (lots: readonly SureLot[]): string => {
  const names = [...lots]
    .sort((a, b) => b.own.length - a.own.length)
    .slice(0, mostLots)
    .map(({ own }) => own[0]?.test.lot);
  const others = lots.length - names.length;
  return lots.length === 1
    ? `lot ${names[0]}`
    : `${lots.length} lots (${names.join(', ')}${others > 0 ? ` and ${others} more` : ''})`;
};

const besideText = {
  'like pieces': 'same items, treatments and days since pack',
  'same store': 'same stores',
};

const claim = (
  kind: ClaimKind,
  supplier: string,
  { chain, level, lots, wasFound }: { chain: Chain; level: ClaimLevel; lots: string; wasFound: boolean },
): FindingRow => {
  const { tests: own, center, reach } = level;
  const value = (test: MeasuredTest): number => lostPercent(kind, test);
  const worst = [...own]
    .sort((a, b) => value(b) - value(a) || (a.testId < b.testId ? -1 : 1))
    .slice(0, 12)
    .sort((a, b) => a.cutDay - b.cutDay);
  const number = new Intl.NumberFormat(chain.language, { maximumFractionDigits: 2, signDisplay: 'negative' });
  const end = new Intl.NumberFormat(chain.language, { minimumFractionDigits: 2, maximumFractionDigits: 2 });
  const items = [...new Set(own.map((test) => test.item))].sort();
  const range = `95 % interval ${end.format(center - reach)} to ${end.format(center + reach)}`;
  const usual = kind.usually(number.format(kind.usualPercent));
  const against = Number.isNaN(level.others)
    ? usual
    : `${usual}${kind.beside?.what === 'same store' ? ',' : ''} and ${number.format(level.others)} % of the other suppliers, ${besideText[kind.beside?.what ?? 'like pieces']}`;
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
      seen: lots,
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
