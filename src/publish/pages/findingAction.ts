import { classWords } from '../../catalog/outcomes.ts';
import type { FindingRow } from '../../findings/found.ts';
import type { Action } from './actions.tsx';
import { findingItem, findingProblem, findingSays, findingWorth, isRise } from './findingText.ts';
import type { Formats } from './formats.ts';
import { isLoneRoom, type TrainerFacts } from './trainerFacts.ts';

const asks: Record<string, (who: string, item: string) => string> = {
  'over-trimming': (who, item) => `Cut beside ${who}: leave more main cut on ${item}`,
  'left-elsewhere': (who, item) => `Look at bones and seams with ${who}: ${item}`,
  'under-trimming': (who, item) => `Look at the fat cover with ${who}: ${item}`,
  'fat-in-trim': (who, item) => `Sort trim with ${who}: ${item}`,
  'missing-product': (who, item) => `Weigh every tub with ${who}: ${item}`,
  'unweighed-trim': (who, item) => `Weigh the trim tub with ${who}: ${item}`,
  'tare-question': (who, item) => `Check the tare with ${who}: ${item}`,
  'room-habit': (who, item) => `Cut with the whole room at ${who}: ${item}`,
  'loss-high': (who, item) => `Weigh one test output by output at ${who}: ${item}`,
  'people-differ': (who, item) => `Have two people cut side by side at ${who}: ${item}`,
  'weights-not-weighed': (who) => `Ask at ${who} how tests are weighed`,
  'scale-question': (who) => `Check the scale and the tare at ${who}`,
  'portion-drift': (who, item) => `Check portion weights with ${who}: ${item}`,
  drift: (who, item) => `Ask ${who} what changed on ${item}`,
  improved: (who, item) => `Tell ${who} that it worked: ${item}`,
  'too-early': (who, item) => `Wait for more tests of ${who}: ${item}`,
  'not-improved': (who, item) => `Try another way with ${who}: ${item}`,
};

/** What a finding asks the trainer to do. */
export const findingAsk = (finding: FindingRow, facts: TrainerFacts): string => {
  const who = finding.cutter === '' ? facts.store(finding.store) : facts.who(finding.cutter);
  const item = findingItem(finding, facts);
  if (finding.nothingToCure === true) return `Nothing to cure was seen with ${who}: ${item}`;
  if (isLoneRoom(finding, facts.lone)) return `Look at room and cutter together at ${who}: ${item}`;
  if (isRise(finding)) {
    if (isOfCuts(finding)) return `Learn from ${who}: ${item}`;
    return finding.went === classWords.lean_trim
      ? `Look into the trim tub with ${who}: ${item}`
      : `Check the tare and the tubs with ${who}: ${item}`;
  }
  return asks[finding.kind]?.(who, item) ?? `${finding.kind.replaceAll('-', ' ')}: ${who}, ${item}`;
};

/** Findings that tell how far a coaching has come. */
export const isOfCoaching = ({ kind, nothingToCure }: FindingRow): boolean =>
  kind === 'improved' || kind === 'too-early' || nothingToCure === true;

/** A rise of the cuts, not of trim alone or of weight that was missing before. */
const isOfCuts = ({ went = '' }: FindingRow): boolean => went === '';

/** A level of the cuts that rose, and nothing found with the same cutter says that it may be fat or a tray. */
export const isGoodRise = (finding: FindingRow, { doubted }: Pick<TrainerFacts, 'doubted'>): boolean =>
  isRise(finding) && isOfCuts(finding) && !doubted.has(finding.cutter);

/** Good or open news, nothing to visit for: what followed a coaching, a habit that is gone, a level that rose. */
export const isNews = (finding: FindingRow, facts: Pick<TrainerFacts, 'doubted'>): boolean =>
  isOfCoaching(finding) || finding.status === 'resolved' || isGoodRise(finding, facts);

/** Findings to visit for, in their order; a rise in doubt after what it is doubted for. */
export const toVisit = (
  findings: readonly FindingRow[],
  facts: Pick<TrainerFacts, 'doubted'>,
): FindingRow[] =>
  findings.filter((finding) => !isNews(finding, facts)).sort((a, b) => Number(isRise(a)) - Number(isRise(b)));

/** Findings about one person or room with the question whether their weights are true first: the others rest on it. */
export const questionFirst = (own: readonly FindingRow[]): FindingRow[] =>
  [...own].sort((a, b) => Number(asksWeights(b)) - Number(asksWeights(a)));

const asksWeights = ({ kind }: FindingRow): boolean => kind === 'weights-not-weighed';

/** Findings about one person or room as one thing to do: the first is told, the others are named, each once. */
export const groupAction = (own: readonly FindingRow[], facts: TrainerFacts, write: Formats): Action => {
  const first = own[0] as FindingRow;
  const others = own.slice(1);
  const items = others
    .filter((finding) => finding.kind === first.kind && finding.item !== first.item && finding.item !== '')
    .map((finding) => findingItem(finding, facts));
  const problems = others
    .filter((finding) => finding.kind !== first.kind)
    .map((finding) => findingProblem(finding, facts))
    .filter((problem) => problem !== '');
  const same = items.length === 0 ? '' : ` The same may hold on ${[...new Set(items)].join(', ')}.`;
  const only = asksWeights(first) ? ', if the weights hold' : '';
  const also = problems.length === 0 ? '' : ` Also${only}: ${[...new Set(problems)].join('; ')}.`;
  const { worth, worthNote } = findingWorth(own, write);
  return {
    what: findingAsk(first, facts),
    why: `${findingSays(first)}${same}${also}`,
    next: first.step,
    worth,
    worthNote,
    links: [
      ...(first.cutter === ''
        ? []
        : [{ text: `Page to show ${facts.who(first.cutter)}`, href: facts.cutterFile(first.cutter) }]),
      ...(first.store === ''
        ? []
        : [{ text: `Visit plan for ${facts.store(first.store)}`, href: facts.storeFile(first.store) }]),
    ],
  };
};
