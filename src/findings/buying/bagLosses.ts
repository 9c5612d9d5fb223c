import type { MeasuredTest } from '../../measure/measured.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import { ratioEstimate } from '../../tables/ratioEstimate.ts';
import { countedTests } from '../../units/counted.ts';
import { fewestTests } from './boughtTests.ts';

/**
 * What was lost in the bags of one supplier, of one of its plants, by days from packing to cutting, or where the bag
 * leaked. Shares of billed weight and of tests, 0-1; `missing` says why there is no answer.
 */
export type BagLossRow = {
  supplier: string;
  by: 'supplier' | 'plant' | 'days since pack' | 'leaker';
  group: string;
  tests: number;
  purgeShare: number;
  low: number;
  high: number;
  /** Share of bags that leaked, of those where the sheet says. */
  leakerShare: number;
  missing: string;
};

/** First day of each stretch since packing; the last is open. */
const stretches = [0, 7, 14, 21, 28];

/** Purge and leakers of every supplier (and of all together, supplier ''), and by plant, days since pack and leaker where given. */
export const bagLosses = (used: readonly MeasuredTest[]): BagLossRow[] => {
  const bySupplier = groupedBy(used, (test) => test.supplier);
  const suppliers = [...bySupplier.keys()].filter((name) => name !== '').sort();
  return ['', ...suppliers].flatMap((supplier) => {
    const own = supplier === '' ? used : (bySupplier.get(supplier) ?? []);
    return [
      lossRow({ supplier, by: 'supplier', group: supplier === '' ? 'all' : supplier }, own),
      ...(supplier === '' ? [] : grouped(own, { supplier, by: 'plant' }, (test) => test.plant)),
      ...grouped(own, { supplier, by: 'days since pack' }, stretchOf),
      ...grouped(own, { supplier, by: 'leaker' }, leakerText),
    ];
  });
};

type Name = Pick<BagLossRow, 'supplier' | 'by'>;

const grouped = (
  own: readonly MeasuredTest[],
  name: Name,
  groupOf: (test: MeasuredTest) => string,
): BagLossRow[] => {
  const groups = groupedBy(own, groupOf);
  return [...groups.keys()]
    .filter((group) => group !== '')
    .sort()
    .map((group) => lossRow({ ...name, group }, groups.get(group) ?? []));
};

/** Stretch of days from packing to cutting; '' where it is not known. */
export const stretchOf = (test: MeasuredTest): string => {
  const days = test.cutDay - test.packDay;
  if (!(days >= 0)) return '';
  const place = stretches.findLastIndex((first) => days >= first);
  const [first, next] = [stretches[place] as number, stretches[place + 1]];
  const two = (day: number): string => String(day).padStart(2, '0');
  return next === undefined ? `${two(first)} and more` : `${two(first)} to ${two(next - 1)}`;
};

const yes = new Set(['yes', 'y', 'true', '1', 'x', 'leaker', 'leaking']);
const no = new Set(['no', 'n', 'false', '0', 'intact', 'sound']);

/** What the sheet says of the bag: leaking, intact, or '' where it says nothing we know. */
const leakerText = (test: MeasuredTest): string => {
  const text = test.leaker.trim().toLowerCase();
  return yes.has(text) ? 'leaking' : no.has(text) ? 'intact' : '';
};

const lossRow = (name: Name & { group: string }, own: readonly MeasuredTest[]): BagLossRow => {
  const said = own.map(leakerText).filter((text) => text !== '');
  const purge = ratioEstimate(
    own.map((test) => test.purgeOfBilled * test.billedFilledKg),
    own.map((test) => test.billedFilledKg),
  );
  const isKnown = purge.tests >= fewestTests;
  const reach = z975 * purge.sd;
  return {
    ...name,
    tests: purge.tests,
    purgeShare: isKnown ? purge.value : Number.NaN,
    low: isKnown ? purge.value - reach : Number.NaN,
    high: isKnown ? purge.value + reach : Number.NaN,
    leakerShare:
      said.length >= fewestTests
        ? said.filter((text) => text === 'leaking').length / said.length
        : Number.NaN,
    missing: isKnown
      ? ''
      : `${countedTests(purge.tests)} ${purge.tests === 1 ? 'tells' : 'tell'} the purge; ${fewestTests} are needed`,
  };
};
