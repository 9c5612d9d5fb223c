import type { FindingRow } from '../../findings/found.ts';
import type { Formats } from './formats.ts';
import { moneySum } from './losses.ts';
import type { TrainerFacts } from './trainerFacts.ts';

const problems: Record<string, (item: string) => string> = {
  'room-habit': (item) => `the whole room trims too deep on ${item}`,
  'over-trimming': (item) => `one cutter leaves main cut of ${item} in the trim tub`,
  'unweighed-trim': (item) => `trim of ${item} is missing from the sheets`,
  'missing-product': (item) => `weight of ${item} is missing from the sheets`,
  'under-trimming': (item) => `one cutter may leave fat on ${item}`,
  'portion-drift': (item) => `portions of ${item} miss their size`,
  drift: (item) => `something changed on ${item}`,
};

/** The item of a finding as a reader calls it; `all items` where it is about no one of them. */
export const findingItem = ({ item }: FindingRow, facts: TrainerFacts): string =>
  item === '' ? 'all items' : facts.item(item);

/**
 * What was seen, with its interval and number of tests: the headline without what stands beside it, which is who and on what,
 * the money, and the words of the banner.
 */
export const findingSays = ({ headline }: FindingRow): string => {
  const says = headline
    .replace(/^(Resolved: )?[^:]{1,120}: /, '')
    .replace(/; [^;]* a week \([^)]*\)[^;.]*/, '')
    .replace(/[ ;]*a question, not a verdict[.]?/i, '')
    .replaceAll(/(\d)%/g, '$1 %')
    .replace(/([^.?])$/, '$1.');
  return `${says.charAt(0).toUpperCase()}${says.slice(1)}`;
};

/** The same where nothing beside it names who and on what. */
export const findingNews = (finding: FindingRow, facts: TrainerFacts): string => {
  const who = finding.cutter === '' ? facts.store(finding.store) : facts.who(finding.cutter);
  const says = findingSays(finding);
  const gone = finding.status === 'resolved' ? 'no longer seen. It was: ' : '';
  return `${who} on ${findingItem(finding, facts)}: ${gone}${says.charAt(0).toLowerCase()}${says.slice(1)}`;
};

/** The problem in a few words, to end a sentence; '' for kinds that are told by what they ask. */
export const findingProblem = (finding: FindingRow, facts: TrainerFacts): string =>
  problems[finding.kind]?.(findingItem(finding, facts)) ?? '';

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
