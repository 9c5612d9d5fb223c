import type { FindingRow } from '../../findings/found.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { Action, Fact, Link } from './actions.tsx';
import {
  findingAsk,
  groupAction,
  isGoodRise,
  isNews,
  isOfCoaching,
  questionFirst,
  toVisit,
} from './findingAction.ts';
import {
  costlyFindings,
  findingCost,
  findingPage,
  findingProblem,
  findingsSum,
  newsLinks,
} from './findingText.ts';
import type { Formats } from './formats.ts';
import type { Basis } from './frame.tsx';
import { groups } from './groups.ts';
import { moneySpan } from './losses.ts';
import type { TrainerFacts } from './trainerFacts.ts';

export type CoachedRow = DotRow & {
  group: string;
  href: string;
  expectedAfter: number;
  after: number;
  testsBefore: number;
  testsAfter: number;
  verdict: string;
};

/** Tests that one store owes: behind its plan, and to compare its cutters fairly. */
export type OwedStore = { store: string; href: string; behind: number; toTell: number; by: string };

/** What the trainer's first page says. */
export type TrainerView = {
  lead: string;
  basis: Basis;
  facts: Fact[];
  actions: Action[];
  /** Beside the visits: in what order, and whom to ask for a name. */
  visitNote: string;
  more: Link[];
  visits: (DotRow & { tests: number; href: string })[];
  /** People and rooms whose habits cost, of whom the visits are the first. */
  costly: number;
  /** Over what time the cost of the visits runs. */
  span: string;
  coached: CoachedRow[];
  coachingNews: Link[];
  /** Levels that rose, then what is gone. */
  changes: Link[];
  owed: OwedStore[];
};

const mostActions = 5;
const mostVisits = 12;
const mostCoached = 24;

/** Whom to visit first and why, whether coaching worked, which tests are owed. */
export const trainerView = (
  facts: TrainerFacts,
  write: Formats,
  about: { asOf: string; reported: string },
): TrainerView => {
  const visits = grouped(facts);
  const costs = costsOf(facts, write);
  const adjusted = facts.input.modeled.adjustedFor.join(', ') || 'nothing yet';
  return {
    lead: leadOf(visits, facts, write),
    basis: {
      data: `Data to ${write.day(about.asOf)}. ${about.reported}.`,
      adjusted: `Adjusted for ${adjusted}. Not adjusted for knives, tables, or how busy a day was.`,
    },
    facts: factsOf(facts, visits.length, write),
    actions: visits.slice(0, mostActions).map((own) => groupAction(own, facts, write)),
    visitNote: `Most money first, then what is not priced${facts.seenUntil.size === 0 ? '' : ', last what only old tests show'}. ${facts.input.chain.privacy.names ? '' : 'Cutters stand under codes: whoever runs the night holds the key and can say who is meant. '}Ranges are 95 % intervals; chance findings among so many people are allowed for. No one needs to cut faster: guards on, product cold.`,
    more: visits.slice(mostActions).map((own) => {
      const first = own[0] as FindingRow;
      return {
        text: `${findingAsk(first, facts)}${untilText(first, facts, write)}`,
        href: findingPage(first, facts),
      };
    }),
    visits: costs.slice(0, mostVisits),
    costly: costs.length,
    span: moneySpan(costlyFindings(facts.findings)),
    coached: coachedRows(facts, write),
    coachingNews: newsLinks(facts.findings.filter(isOfCoaching), facts),
    changes: newsLinks(
      facts.findings.filter((finding) => isNews(finding, facts) && !isOfCoaching(finding)),
      facts,
    ),
    owed: owedStores(facts, write),
  };
};

const factsOf = (facts: TrainerFacts, visits: number, write: Formats): Fact[] => {
  const { input, testsByCutter, findings } = facts;
  const risen = findings.filter((finding) => isGoodRise(finding, facts));
  const rises = new Set(risen.map(({ cutter }) => cutter)).size;
  const events = input.found.coaching.filter((row) => row.scope === 'event');
  const worked = events.filter((row) => row.verdict === 'improved').length;
  const early = events.filter((row) => row.verdict === 'too-early').length;
  const behind = input.found.owed.filter((row) => row.cutter === '').length;
  return [
    {
      value: write.count(visits),
      means: `people or rooms to work with; ${write.count(testsByCutter.size)} cutters in all`,
      href: 'people.html',
    },
    ...(events.length === 0
      ? []
      : [
          {
            value: write.count(worked),
            means: coachingsText(events.length, worked, early),
            href: '#did-coaching-help',
          },
        ]),
    ...(rises === 0
      ? []
      : [
          {
            value: write.count(rises),
            means: `${rises === 1 ? 'cutter whose yield' : 'cutters whose yields'} rose: something to learn`,
            href: '#good-news',
          },
        ]),
    { value: write.count(behind), means: 'stores behind with tests', href: '#tests-owed' },
  ];
};

/** What the number of coachings that helped leaves: too early to tell is no failure. */
export const coachingsText = (all: number, worked: number, early: number): string => {
  const unseen = all - worked - early;
  return [
    `${worked === 1 ? 'coaching' : 'coachings'} helped`,
    ...(unseen === 0 ? [] : [`${unseen} without effect so far`]),
    ...(early === 0 ? [] : [`of ${early} more it is too early to tell`]),
  ].join('; ');
};

/** Stores by how far they are behind their plan, then by the tests that may tell of an open loss. */
const owedStores = (facts: TrainerFacts, write: Formats): OwedStore[] =>
  groups(facts.input.found.owed, (row) => row.store)
    .map(([store, own]) => {
      const sum = (rows: typeof own): number => rows.reduce((total, row) => total + row.tests, 0);
      return {
        store: facts.store(store),
        href: facts.storeFile(store),
        behind: sum(own.filter((row) => row.cutter === '')),
        toTell: sum(own.filter((row) => row.cutter !== '')),
        by: write.day(own.map((row) => row.by).sort()[0] ?? ''),
      };
    })
    .sort((a, b) => b.behind - a.behind || b.toTell - a.toTell || (a.store < b.store ? -1 : 1));

/** Findings to visit for, those about one person or room together, in the order of the first of each. */
const grouped = (facts: TrainerFacts): FindingRow[][] => {
  const found = new Map<string, FindingRow[]>();
  for (const finding of toVisit(facts.findings, facts)) {
    const key = finding.cutter === '' ? `room ${finding.store}` : finding.cutter;
    found.set(key, [...(found.get(key) ?? []), finding]);
  }
  return [...found.values()].map(questionFirst);
};

const leadOf = (visits: readonly FindingRow[][], facts: TrainerFacts, write: Formats): string => {
  const first = visits[0]?.[0];
  if (first === undefined) return nothingOf(facts);
  const problem = findingProblem(first, facts);
  const until = facts.seenUntil.get(first.findingId);
  const seen = until === undefined ? '' : ` It was seen until ${write.day(until)}: no later test is there.`;
  return problem === ''
    ? `Go to ${facts.store(first.store)} first. ${findingAsk(first, facts)}.${seen}`
    : `Go to ${facts.store(first.store)} first: ${problem}${findingCost(first, write)}.${seen}`;
};

/** Until when it was seen, where only old tests show it; with a comma before it. */
const untilText = ({ findingId }: FindingRow, { seenUntil }: TrainerFacts, { day }: Formats): string => {
  const until = seenUntil.get(findingId);
  return until === undefined ? '' : `, until ${day(until)}`;
};

const nothingOf = ({ input }: TrainerFacts): string =>
  input.found.owed.length === 0
    ? 'No habit stands out, and no tests are owed.'
    : 'No habit stands out: use the visits for the tests that are owed.';

/** What the habits of each person or room cost, most money first; last what only old tests show. */
const costsOf = (facts: TrainerFacts, write: Formats): TrainerView['visits'] =>
  groups(costlyFindings(facts.findings), ({ cutter, store }) => cutter || `room ${store}`)
    .map(([, own]) => {
      const first = own[0] as FindingRow;
      const { cutter, store } = first;
      const whole = facts.lone.has(store) ? 'one cutter' : 'whole room';
      const row = {
        label: `${facts.store(store)}, ${cutter === '' ? whole : facts.label(cutter)}${untilText(first, facts, write)}`,
        href: findingPage(first, facts),
        ...findingsSum(own),
      };
      return { row, isOld: facts.seenUntil.has(first.findingId) };
    })
    .sort((a, b) => Number(a.isOld) - Number(b.isOld) || b.row.value - a.row.value)
    .map(({ row }) => row);

/** What each coaching changed, beyond what a low start regains by itself; by item, the newest first. */
const coachedRows = (facts: TrainerFacts, write: Formats): CoachedRow[] => {
  const newest = facts.input.found.coaching
    .filter((row) => row.scope === 'event' && Number.isFinite(row.low))
    .sort((a, b) => (a.coachedOn < b.coachedOn ? 1 : -1))
    .slice(0, mostCoached);
  return groups(newest, (row) => row.item).flatMap(([item, own]) =>
    own.map((row) => ({
      group: item === '' ? 'all items' : facts.item(item),
      label: `${facts.label(row.cutter)}, ${write.day(row.coachedOn)}`,
      href: facts.cutterFile(row.cutter),
      value: row.gain,
      low: row.low,
      high: row.high,
      expectedAfter: row.expectedAfter,
      after: row.after,
      testsBefore: row.testsBefore,
      testsAfter: row.testsAfter,
      verdict: row.verdict,
    })),
  );
};
