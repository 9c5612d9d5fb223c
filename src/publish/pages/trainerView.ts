import type { FindingRow } from '../../findings/found.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { Action } from './actions.tsx';
import { findingAsk, groupAction, isNews } from './findingAction.ts';
import type { Formats } from './formats.ts';
import { groups } from './groups.ts';
import { moneySum } from './losses.ts';
import type { TrainerFacts } from './trainerFacts.ts';

export type CoachedRow = DotRow & {
  href: string;
  expectedAfter: number;
  after: number;
  testsBefore: number;
  testsAfter: number;
  verdict: string;
};

/** What the trainer's first page says. */
export type TrainerView = {
  lead: string;
  basis: string;
  actions: Action[];
  more: { text: string; href: string }[];
  visits: (DotRow & { tests: number; href: string })[];
  coached: CoachedRow[];
  news: { text: string; href: string }[];
  owed: { store: string; href: string; who: string; item: string; tests: number; by: string }[];
  owedTotal: number;
};

const mostActions = 5;
const mostVisits = 12;
const mostOwed = 10;
const mostCoached = 24;

/** Whom to visit first and why, whether coaching worked, which tests are owed. */
export const trainerView = (
  facts: TrainerFacts,
  write: Formats,
  about: { asOf: string; reported: string },
): TrainerView => {
  const visits = grouped(facts);
  const adjusted = facts.input.modeled.adjustedFor.join(', ') || 'nothing yet';
  const owed = facts.input.found.owed;
  return {
    lead: leadOf(facts),
    basis: `Data to ${about.asOf}; ${about.reported}. Adjusted for ${adjusted}. Not adjusted for knives, tables, or how busy a day was.`,
    actions: visits.slice(0, mostActions).map((own) => groupAction(own, facts, write)),
    more: visits.slice(mostActions).map((own) => linkOf(own[0] as FindingRow, facts)),
    visits: visitsOf(facts),
    coached: coachedRows(facts),
    news: facts.findings
      .filter(isNews)
      .map((finding) => ({ ...linkOf(finding, facts), text: finding.headline })),
    owed: owed.slice(0, mostOwed).map((row) => ({
      store: facts.store(row.store),
      href: facts.storeFile(row.store),
      who: row.cutter === '' ? 'anyone' : facts.label(row.cutter),
      item: row.item === '' ? 'any item' : facts.item(row.item),
      tests: row.tests,
      by: row.by,
    })),
    owedTotal: owed.reduce((sum, row) => sum + row.tests, 0),
  };
};

/** Findings to visit for, those about one person or room together, in the order of the first of each. */
const grouped = (facts: TrainerFacts): FindingRow[][] => {
  const found = new Map<string, FindingRow[]>();
  for (const finding of facts.findings.filter((one) => !isNews(one))) {
    const key = finding.cutter === '' ? `room ${finding.store}` : finding.cutter;
    found.set(key, [...(found.get(key) ?? []), finding]);
  }
  return [...found.values()];
};

const linkOf = (finding: FindingRow, facts: TrainerFacts): { text: string; href: string } => ({
  text: findingAsk(finding, facts),
  href: finding.cutter === '' ? facts.storeFile(finding.store) : facts.cutterFile(finding.cutter),
});

const leadOf = (facts: TrainerFacts): string => {
  const first = facts.findings.find((finding) => !isNews(finding));
  if (first === undefined) return 'No habit stands out: use the visits for the tests that are owed.';
  return `Go to ${facts.store(first.store)} first. ${findingAsk(first, facts)}.`;
};

const visitsOf = (facts: TrainerFacts): TrainerView['visits'] =>
  groups(
    facts.findings.filter((finding) => finding.moneyPerWeek > 0),
    (finding) => finding.store,
  )
    .map(([store, own]) => {
      const sum = moneySum(
        own.map(({ moneyPerWeek, moneyLow, moneyHigh, tests }) => ({
          moneyPerWeek,
          low: moneyLow,
          high: moneyHigh,
          tests,
        })),
      );
      return { label: facts.store(store), href: facts.storeFile(store), ...sum };
    })
    .sort((a, b) => b.value - a.value)
    .slice(0, mostVisits);

/** What each coaching changed, beyond what a low start regains by itself; newest first. */
const coachedRows = (facts: TrainerFacts): CoachedRow[] =>
  facts.input.found.coaching
    .filter((row) => row.scope === 'event' && Number.isFinite(row.low))
    .sort((a, b) => (a.coachedOn < b.coachedOn ? 1 : -1))
    .slice(0, mostCoached)
    .map((row) => ({
      label: `${facts.label(row.cutter)}, ${row.item || 'all items'}, ${row.coachedOn}`,
      href: facts.cutterFile(row.cutter),
      value: row.gain,
      low: row.low,
      high: row.high,
      expectedAfter: row.expectedAfter,
      after: row.after,
      testsBefore: row.testsBefore,
      testsAfter: row.testsAfter,
      verdict: row.verdict,
    }));
