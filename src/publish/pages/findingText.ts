import type { FindingRow } from '../../findings/found.ts';
import type { Formats } from './formats.ts';
import { moneySpan, moneySum } from './losses.ts';
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
    .replace(/; [^;]* (?:a week|in the tests seen \(no volume [^)]*\)) \([^)]*\)[^;.]*/, '')
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

/**
 * What it costs with its interval and over what time, for the side of an action; '' where money is not the point. What
 * somebody's change costs is not counted beside a habit of the same person: the habit costs it since the change.
 */
export const findingWorth = (
  findings: readonly FindingRow[],
  write: Formats,
): { worth: string; worthNote: string; span: string } => {
  const costly = countedOnce(findings);
  const span = moneySpan(costly);
  if (costly.length === 0) return { worth: '', worthNote: '', span };
  const sum = moneySum(
    costly.map(({ moneyPerWeek, moneyLow, moneyHigh, tests }) => ({
      moneyPerWeek,
      low: moneyLow,
      high: moneyHigh,
      tests,
    })),
  );
  return {
    worth: write.money(sum.value),
    worthNote: `${span}, ${write.moneyRange(sum.low, sum.high)}`,
    span,
  };
};

/** Findings whose money may be added up: those that cost, without the drift of a person who has a costly habit. */
export const countedOnce = (findings: readonly FindingRow[]): FindingRow[] => {
  const costly = findings.filter((finding) => finding.moneyPerWeek > 0);
  const withHabit = new Set(
    costly.filter((finding) => finding.kind !== 'drift').map((finding) => finding.cutter),
  );
  return costly.filter((finding) => finding.kind !== 'drift' || !withHabit.has(finding.cutter));
};
