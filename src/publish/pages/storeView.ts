import type { FindingRow } from '../../findings/found.ts';
import type { EffectRow } from '../../model/modeled.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { Action, Link } from './actions.tsx';
import { findingAsk, groupAction, isGoodRise, questionFirst, toVisit } from './findingAction.ts';
import { findingCost, findingProblem, newsLinks } from './findingText.ts';
import type { Formats } from './formats.ts';
import type { Basis } from './frame.tsx';
import { groups } from './groups.ts';
import { sentenceStart } from './midSentence.ts';
import type { TrainerFacts } from './trainerFacts.ts';

/** What a plan for one store visit says. */
export type StoreView = {
  label: string;
  lead: string;
  region: string;
  lastTest: string;
  silent: boolean;
  refusedFiles: number;
  sentButRefused: boolean;
  sentButOld: boolean;
  actions: Action[];
  /** Levels of people here that rose: what there is to learn. */
  rises: Link[];
  room: (DotRow & { tests: number })[];
  /** One cutter cut all tests here. */
  isLone: boolean;
  people: { label: string; href: string; tests: number; habits: number }[];
  owed: { item: string; who: string; tests: number; by: string; why: string; atStake: string }[];
  mended: { day: string; test: string; reasons: string; place: string }[];
  basis: Basis;
};

const recentDays = 60;
const mostMended = 10;

/** What to do in one store, with whom, and which tests to see cut. */
export const storeView = (
  store: string,
  room: readonly EffectRow[],
  { facts, write }: { facts: TrainerFacts; write: Formats },
): StoreView => {
  const status = facts.input.found.stores.find((row) => row.store === store);
  const own = facts.findings.filter((finding) => finding.store === store);
  const findings = toVisit(own, facts);
  const tests = facts.testsByStore.get(store) ?? [];
  const owed = facts.input.found.owed.filter((row) => row.store === store);
  const atStake = write.moneyAlike(...owed.map((row) => row.atStake));
  return {
    label: facts.store(store),
    lead: leadOf(findings, facts, write),
    region: status?.region ?? '',
    lastTest: write.day(status?.lastTest ?? ''),
    silent: status?.silent ?? false,
    refusedFiles: status?.refusedFiles ?? 0,
    sentButRefused: status?.sentButRefused ?? false,
    sentButOld: status?.sentButOld ?? false,
    actions: inOrder(findings).map((own) => {
      const action = groupAction(own, facts, write);
      return { ...action, links: action.links.filter((link) => link.href !== facts.storeFile(store)) };
    }),
    rises: newsLinks(
      own.filter((finding) => isGoodRise(finding, facts)),
      facts,
    ),
    room: room
      .filter((row) => row.outcome === 'main_cut' && row.status === 'ok' && Number.isFinite(row.low))
      .map((row) => ({
        label: facts.item(row.item),
        value: row.effect,
        low: row.low,
        high: row.high,
        tests: row.tests,
      }))
      .sort((a, b) => a.value - b.value),
    isLone: facts.lone.has(store),
    people: groups(tests, (test) => test.cutter)
      .map(([cutter, own]) => ({
        label: facts.label(cutter),
        href: facts.cutterFile(cutter),
        tests: own.length,
        habits: findings.filter((finding) => finding.cutter === cutter).length,
      }))
      .sort((a, b) => b.habits - a.habits || (a.label < b.label ? -1 : 1)),
    owed: owed.map((row, i) => ({
      item: row.item === '' ? 'any item' : facts.item(row.item),
      who: row.cutter === '' ? 'anyone' : facts.label(row.cutter),
      tests: row.tests,
      by: write.day(row.by),
      why: row.cutter === '' ? row.why : 'to tell whether main cut is lost',
      atStake: row.atStake > 0 ? (atStake[i] as string) : '',
    })),
    mended: tests
      .filter((test) => test.state === 'held' && test.cutDay > facts.input.asOfDay - recentDays)
      .slice(-mostMended)
      .reverse()
      .map((test) => ({
        day: write.day(isoFromDay(test.cutDay)),
        test: test.testId,
        reasons: test.reasons.replaceAll(';', ', '),
        place: `${test.sourceFile}:${test.sourceLine}`,
      })),
    basis: {
      data: `${write.tests(tests.length)} to ${write.day(status?.lastTest ?? '') || 'none yet'}.`,
      adjusted:
        'Compared with the same items, grades, weights, methods, suppliers and months in other stores.',
    },
  };
};

/** Findings of one person, and those of the room, together; in the order of the first of each. */
const inOrder = (findings: readonly FindingRow[]): FindingRow[][] => {
  const found = new Map<string, FindingRow[]>();
  for (const finding of findings) found.set(finding.cutter, [...(found.get(finding.cutter) ?? []), finding]);
  return [...found.values()].map(questionFirst);
};

/** What the visit is about in one sentence; '' when nothing stands out. */
const leadOf = (findings: readonly FindingRow[], facts: TrainerFacts, write: Formats): string => {
  const first = inOrder(findings)[0]?.[0];
  if (first === undefined) return '';
  const problem = findingProblem(first, facts) || findingAsk(first, facts);
  const more = new Set(findings.map((finding) => finding.cutter)).size - 1;
  const others = more === 0 ? '' : ` ${more} more below.`;
  return `${sentenceStart(problem)}${findingCost(first, write)}.${others}`;
};
