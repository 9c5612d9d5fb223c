import type { FindingRow } from '../../findings/found.ts';
import type { Action } from './actions.tsx';
import type { Formats } from './formats.ts';
import type { TrainerFacts } from './trainerFacts.ts';

const asks: Record<string, (who: string, item: string) => string> = {
  'over-trimming': (who, item) => `Cut beside ${who}: leave more main cut on ${item}`,
  'under-trimming': (who, item) => `Look at the fat cover with ${who}: ${item}`,
  'fat-in-trim': (who, item) => `Sort trim with ${who}: ${item}`,
  'missing-product': (who, item) => `Weigh every tub with ${who}: ${item}`,
  'unweighed-trim': (who, item) => `Weigh every tub with ${who}: ${item}`,
  'tare-question': (who, item) => `Check the tare with ${who}: ${item}`,
  'room-habit': (who, item) => `Show the whole room at ${who} the cut: ${item}`,
  'weights-not-weighed': (who) => `Ask ${who} how tests are weighed`,
  'portion-drift': (who, item) => `Check portion weights with ${who}: ${item}`,
  drift: (who, item) => `Ask ${who} what changed on ${item}`,
  improved: (who, item) => `Tell ${who} that it worked: ${item}`,
  'not-improved': (who, item) => `Try another way with ${who}: ${item}`,
};

/** What a finding asks the trainer to do. */
export const findingAsk = (finding: FindingRow, facts: TrainerFacts): string => {
  const who = finding.cutter === '' ? facts.store(finding.store) : facts.label(finding.cutter);
  const item = finding.item === '' ? 'all items' : facts.item(finding.item);
  return asks[finding.kind]?.(who, item) ?? `${finding.kind.replaceAll('-', ' ')}: ${who}, ${item}`;
};

/** A finding as a thing to do, with its evidence and the page of who it is about. */
export const findingAction = (finding: FindingRow, facts: TrainerFacts, write: Formats): Action => ({
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
