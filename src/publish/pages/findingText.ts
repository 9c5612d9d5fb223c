import type { FindingRow } from '../../findings/found.ts';
import type { Link } from './actions.tsx';
import type { Formats } from './formats.ts';
import { trimmedAway } from './habitWords.ts';
import { type MoneySum, moneySpan, moneySum } from './losses.ts';
import { midSentence, sentenceStart } from './midSentence.ts';
import { moneyAside, moneyText } from './moneyText.ts';
import { isLoneRoom, type TrainerFacts } from './trainerFacts.ts';

const problems: Record<string, (item: string, went: string) => string> = {
  'room-habit': (item) => `the whole room trims too deep on ${item}`,
  'over-trimming': (item, went) => `${trimmedAway(item, went)} at one cutter’s table`,
  'left-elsewhere': (item) => `one cutter leaves main cut of ${item} on the bone or another cut`,
  'unweighed-trim': (item) => `trim of ${item} is missing from the sheets`,
  'missing-product': (item) => `weight of ${item} is missing from the sheets`,
  'under-trimming': (item) => `one cutter may leave fat on ${item}`,
  'loss-high': (item) => `weight of ${item} goes missing in the whole room`,
  'people-differ': (item) => `two people cut ${item} far apart`,
  'portion-drift': (item) => `portions of ${item} miss their size`,
  drift: (item) => `what one cutter gets out of ${item} has fallen`,
};

const topics: Record<string, string> = {
  'over-trimming': 'main cut trimmed away',
  'left-elsewhere': 'main cut left elsewhere',
  'under-trimming': 'fat cover left',
  'unweighed-trim': 'trim not weighed',
  'missing-product': 'weight missing',
  'loss-high': 'weight missing in the whole room',
  'people-differ': 'two ways of cutting',
  'portion-drift': 'portions off their size',
  'tare-question': 'tare',
  'weights-not-weighed': 'how tests are weighed',
  drift: 'yield fallen',
  'not-improved': 'coaching not yet seen',
};

/** The item of a finding as a reader calls it; `all items` where it is about no one of them. */
export const findingItem = ({ item }: FindingRow, facts: TrainerFacts): string =>
  item === '' ? 'all items' : facts.item(item);

/** What it is about in a few words: `trim not weighed on chuck roll (116A)`. */
export const findingTopic = (finding: FindingRow, facts: TrainerFacts): string =>
  `${isRise(finding) ? 'yield risen' : (topics[finding.kind] ?? finding.kind.replaceAll('-', ' '))} on ${findingItem(finding, facts)}`;

/** What was seen, with its interval and number of tests, in the signs of the pages. */
export const findingSays = ({ says }: FindingRow): string =>
  says.replaceAll(/(\d)%/g, '$1 %').replaceAll(/(?<![\w.])-(?=\d)/g, '\u2212');

/** The same as it goes on after a colon; what is gone is told as it was. */
export const findingGoesOn = (finding: FindingRow): string =>
  `${finding.status === 'resolved' ? 'no longer seen. It was: ' : ''}${midSentence(findingSays(finding))}`;

/** The same where nothing beside it names who and on what. */
export const findingNews = (finding: FindingRow, facts: TrainerFacts): string => {
  const who = finding.cutter === '' ? facts.store(finding.store) : facts.who(finding.cutter);
  return `${sentenceStart(who)} on ${findingItem(finding, facts)}: ${findingGoesOn(finding)}`;
};

/** The page about whom it is: the cutter's, or the store's. */
export const findingPage = ({ cutter, store }: FindingRow, facts: TrainerFacts): string =>
  cutter === '' ? facts.storeFile(store) : facts.cutterFile(cutter);

/** News in words with the page of its tests, levels that rose first, with what there is to ask about them. */
export const newsLinks = (news: readonly FindingRow[], facts: TrainerFacts): Link[] =>
  [...news]
    .sort((a, b) => Number(isRise(b)) - Number(isRise(a)))
    .map((finding) => ({
      text: `${findingNews(finding, facts)}${isRise(finding) ? ` ${finding.step}` : ''}`,
      href: findingPage(finding, facts),
    }));

/** A level that rose and stayed, without a coaching behind it: there is something to learn, nothing to put right. */
export const isRise = ({ kind, effect, status }: FindingRow): boolean =>
  kind === 'drift' && effect > 0 && status !== 'resolved';

/** The problem in a few words, to end a sentence; '' for kinds that are told by what they ask. */
export const findingProblem = (finding: FindingRow, facts: TrainerFacts): string => {
  const item = findingItem(finding, facts);
  if (isLoneRoom(finding, facts.lone)) return `the room, or its one cutter, trims too deep on ${item}`;
  if (isRise(finding)) return `what one cutter gets out of ${item} has risen`;
  return problems[finding.kind]?.(item, finding.went ?? '') ?? '';
};

/** What it costs with its interval and over what time, for the side of an action; where money is not the point, that it is not priced. */
export const findingWorth = (
  findings: readonly FindingRow[],
  write: Formats,
): { worth: string; worthNote: string } => {
  const costly = costlyFindings(findings);
  return costly.length === 0
    ? { worth: '', worthNote: 'not priced' }
    : moneyAside(findingsSum(costly), moneySpan(costly), write);
};

/** The same to end a sentence, with a comma before it; '' where money is not the point. */
export const findingCost = (finding: FindingRow, write: Formats): string =>
  finding.moneyPerWeek > 0 ? `, ${moneyText(findingsSum([finding]), moneySpan([finding]), write)}` : '';

/** Money of findings together: those of one person or room err together. */
export const findingsSum = (findings: readonly FindingRow[]): MoneySum =>
  moneySum(
    findings.map(({ cutter, store, moneyPerWeek, moneyLow, moneyHigh, tests }) => ({
      moneyPerWeek,
      low: moneyLow,
      high: moneyHigh,
      tests,
      errors: [
        {
          source: cutter === '' ? `room ${store}` : cutter,
          below: moneyPerWeek - moneyLow,
          above: moneyHigh - moneyPerWeek,
        },
      ],
    })),
  );

/** Findings that cost: what a person or room costs on an item stands in one of them, so that they may be added up. */
export const costlyFindings = (findings: readonly FindingRow[]): FindingRow[] =>
  findings.filter((finding) => finding.moneyPerWeek > 0);
