import { isoFromDay } from '../../units/calendarDay.ts';
import type { BeforeAfterRow } from '../charts/beforeAfter.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { Action } from './actions.tsx';
import { findingAction, findingAsk } from './findingAction.ts';
import type { Formats } from './formats.ts';
import { groups } from './groups.ts';
import { moneySum } from './losses.ts';
import { meanInterval } from './meanInterval.ts';
import type { TrainerFacts } from './trainerFacts.ts';

/** What the trainer's first page says. */
export type TrainerView = {
  lead: string;
  basis: string;
  actions: Action[];
  more: { text: string; href: string }[];
  visits: (DotRow & { tests: number; href: string })[];
  coached: BeforeAfterRow[];
  coachedNotes: { text: string; href: string }[];
  owed: { store: string; href: string; who: string; item: string; tests: number; by: string }[];
  owedTotal: number;
};

const mostActions = 5;
const mostVisits = 12;
const mostOwed = 10;
const fewest = 3;

/** Whom to visit first and why, whether coaching worked, which tests are owed. */
export const trainerView = (
  facts: TrainerFacts,
  write: Formats,
  about: { asOf: string; reported: string },
): TrainerView => {
  const { findings } = facts;
  const adjusted = facts.input.modeled.adjustedFor.join(', ') || 'nothing yet';
  const owed = facts.input.found.owed;
  return {
    lead: leadOf(facts),
    basis: `Data to ${about.asOf}; ${about.reported}. Adjusted for ${adjusted}. Not adjusted for knives, tables, or how busy a day was.`,
    actions: findings.slice(0, mostActions).map((finding) => findingAction(finding, facts, write)),
    more: findings.slice(mostActions).map((finding) => ({
      text: findingAsk(finding, facts),
      href: finding.cutter === '' ? facts.storeFile(finding.store) : facts.cutterFile(finding.cutter),
    })),
    visits: visitsOf(facts),
    ...coachingOf(facts),
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

const leadOf = (facts: TrainerFacts): string => {
  const first = facts.findings[0];
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

/** Main cut from expected before and after each coaching, where both have 3 or more tests; the rest is a note. */
const coachingOf = (facts: TrainerFacts): Pick<TrainerView, 'coached' | 'coachedNotes'> => {
  const coached: BeforeAfterRow[] = [];
  const coachedNotes: TrainerView['coachedNotes'] = [];
  for (const row of facts.input.reference.coaching.filter((one) => one.coachedOn <= facts.input.asOfDay)) {
    const tests = (facts.testsByCutter.get(row.cutter) ?? []).filter(
      (test) => Number.isFinite(test.residual_main_cut) && (row.item === '' || test.item === row.item),
    );
    if (tests.length === 0) continue;
    const part = (isAfter: boolean) =>
      meanInterval(
        tests
          .filter((test) => test.cutDay > row.coachedOn === isAfter)
          .map((test) => Number(test.residual_main_cut) * 100),
      );
    const [before, after] = [part(false), part(true)];
    const label = `${facts.label(row.cutter)}, ${row.item || 'all items'}`;
    const day = isoFromDay(row.coachedOn);
    coachedNotes.push({
      text: `${label}, coached ${day}: ${before.n} tests before, ${after.n} after${Math.min(before.n, after.n) < fewest ? ', too few to tell' : ''}`,
      href: facts.cutterFile(row.cutter),
    });
    if (Math.min(before.n, after.n) < fewest) continue;
    coached.push({ label, when: 'before', value: before.value, low: before.low, high: before.high });
    coached.push({ label, when: 'after', value: after.value, low: after.low, high: after.high });
  }
  return { coached, coachedNotes };
};
