import type { FindingRow } from '../../findings/found.ts';
import type { Formats } from './formats.ts';
import { moneySum } from './losses.ts';
import type { TrainerFacts } from './trainerFacts.ts';

type Said = (finding: FindingRow, write: Formats) => string;

const size = (finding: FindingRow, write: Formats): string => write.tenths(Math.abs(finding.effect));
/** The interval of a size, without its sign: from the nearer to the farther end. */
const interval = ({ low, high }: FindingRow, write: Formats): string => {
  const [near, far] = Math.abs(low) < Math.abs(high) ? [low, high] : [high, low];
  return low < 0 && high > 0
    ? `95 % interval ${write.range(low, high, write.signed)}`
    : `95 % interval ${write.range(Math.abs(near), Math.abs(far), write.tenths)}`;
};
const over = (finding: FindingRow): string => `${finding.tests} tests against ${finding.comparedWith}`;

const texts: Record<string, Said> = {
  'over-trimming': (row, write) =>
    `Main cut is ${size(row, write)} points below expected (${interval(row, write)}), gone to trim or fat; ${over(row)}.`,
  'room-habit': (row, write) =>
    `Main cut is ${size(row, write)} points below expected across the room (${interval(row, write)}); ${over(row)}.`,
  'under-trimming': (row, write) =>
    `Main cut is ${size(row, write)} points above expected (${interval(row, write)}); ${over(row)}. Is fat or silverskin left on?`,
  'missing-product': (row, write) =>
    `${size(row, write)} points more weight than expected is on no line of the sheet (${interval(row, write)}); ${over(row)}. Is a tub not weighed?`,
  'tare-question': (row, write) =>
    `Saleable weight is ${size(row, write)} points above expected (${interval(row, write)}) while outputs weigh more than what came in; ${over(row)}. Is a tray weighed along?`,
};

const problems: Record<string, (item: string) => string> = {
  'room-habit': (item) => `the whole room trims too deep on ${item}`,
  'over-trimming': (item) => `one cutter leaves main cut of ${item} in the trim tub`,
  'missing-product': (item) => `weight of ${item} is missing from the sheets`,
  'under-trimming': (item) => `one cutter may leave fat on ${item}`,
  drift: (item) => `something changed on ${item}`,
};

/** What was seen, with its interval and number of tests, where the title already names who and on what. */
export const findingSays = (finding: FindingRow, facts: TrainerFacts, write: Formats): string => {
  const own = texts[finding.kind];
  if (own !== undefined && finding.status !== 'resolved') return own(finding, write);
  return withNames(finding, facts)
    .replace(' A question, not a verdict.', '')
    .replace('; a question, not a verdict', '');
};

/** The headline with names in place of the keys of its store and item. */
const withNames = ({ headline, store, item }: FindingRow, facts: TrainerFacts): string =>
  headline
    .replace(store === '' ? '' : `Store ${store}`, store === '' ? '' : facts.store(store))
    .replace(item === '' ? '' : ` on ${item}:`, item === '' ? '' : ` on ${facts.item(item)}:`);

/** The problem in a few words, to end a sentence; '' for kinds that are told by what they ask. */
export const findingProblem = (finding: FindingRow, facts: TrainerFacts): string =>
  problems[finding.kind]?.(facts.item(finding.item)) ?? '';

/** What it costs in a week with its interval, for the side of an action; '' where money is not the point. */
export const findingWorth = (
  findings: readonly FindingRow[],
  write: Formats,
): { worth: string; worthNote: string } => {
  const costly = findings.filter((finding) => finding.moneyPerWeek > 0);
  if (costly.length === 0) return { worth: '', worthNote: '' };
  const sum = moneySum(
    costly.map(({ moneyPerWeek, moneyLow, moneyHigh, tests }) => ({
      moneyPerWeek,
      low: moneyLow,
      high: moneyHigh,
      tests,
    })),
  );
  return { worth: write.money(sum.value), worthNote: `a week, ${write.moneyRange(sum.low, sum.high)}` };
};
