import type { FindingRow } from '../../findings/found.ts';
import type { Action } from './actions.tsx';
import type { Formats } from './formats.ts';
import type { TrainerFacts } from './trainerFacts.ts';

const asks: Record<string, (who: string, item: string) => string> = {
  'over-trimming': (who, item) => `Cut beside ${who}: leave more main cut on ${item}`,
  'under-trimming': (who, item) => `Look at the fat cover with ${who}: ${item}`,
  'fat-in-trim': (who, item) => `Sort trim with ${who}: ${item}`,
  'missing-product': (who, item) => `Weigh every tub with ${who}: ${item}`,
  'unweighed-trim': (who, item) => `Weigh the trim tub with ${who}: ${item}`,
  'tare-question': (who, item) => `Check the tare with ${who}: ${item}`,
  'room-habit': (who, item) => `Show the whole room at ${who} the cut: ${item}`,
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
  const who = finding.cutter === '' ? facts.store(finding.store) : facts.label(finding.cutter);
  const item = finding.item === '' ? 'all items' : facts.item(finding.item);
  return asks[finding.kind]?.(who, item) ?? `${finding.kind.replaceAll('-', ' ')}: ${who}, ${item}`;
};

/** Kinds that tell what followed a coaching: good or open news, nothing to visit for. */
export const isNews = (finding: FindingRow): boolean =>
  finding.kind === 'improved' || finding.kind === 'too-early';

/** Findings about one person or room as one thing to do: the first is told, the others are named. */
export const groupAction = (own: readonly FindingRow[], facts: TrainerFacts, write: Formats): Action => {
  const first = findingAction(own[0] as FindingRow, facts, write);
  const more = own.slice(1);
  if (more.length === 0) return first;
  const items = [...new Set(more.map((finding) => facts.item(finding.item)))].join('; ');
  const money = own.reduce((sum, finding) => sum + Math.max(0, finding.moneyPerWeek || 0), 0);
  return {
    ...first,
    why: `${first.why} Also on: ${items}.`,
    worth: money > 0 ? write.money(money) : '',
    worthNote: money > 0 ? 'a week' : '',
  };
};

/** A finding as a thing to do, with its evidence and the page of who it is about. */
const findingAction = (finding: FindingRow, facts: TrainerFacts, write: Formats): Action => ({
  what: findingAsk(finding, facts),
  why: `${finding.headline} Step: ${finding.step}`,
  worth: finding.moneyPerWeek > 0 ? write.money(finding.moneyPerWeek) : '',
  worthNote: finding.moneyPerWeek > 0 ? 'a week' : '',
  links: [
    ...(finding.cutter === ''
      ? []
      : [{ text: `Page to show ${facts.label(finding.cutter)}`, href: facts.cutterFile(finding.cutter) }]),
    ...(finding.store === ''
      ? []
      : [{ text: `Plan for ${facts.store(finding.store)}`, href: facts.storeFile(finding.store) }]),
  ],
});
