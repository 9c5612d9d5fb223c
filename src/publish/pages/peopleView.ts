import { median } from 'simple-statistics';
import type { EffectRow } from '../../model/modeled.ts';
import { z975 } from '../../tables/normalDistribution.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import type { FunnelDot, FunnelLimit } from '../charts/funnel.ts';
import { toVisit } from './findingAction.ts';
import { findingTopic } from './findingText.ts';
import { groups } from './groups.ts';
import type { TrainerFacts } from './trainerFacts.ts';

/** What the page of all cutters says. */
export type PeopleView = {
  /** `toWorkOn`: what stands out, and on what; '' = nothing. */
  people: { label: string; href: string; store: string; tests: number; toWorkOn: string }[];
  items: { item: string; tests: number; shown: number; of: number; rows: (DotRow & { tests: number })[] }[];
  /** From how many points on a difference is told as something to work on. */
  actedFrom: number;
  funnel: { dots: (FunnelDot & { who: string })[]; limits: FunnelLimit[]; of: number };
};

const comparable = 0.5;
const mostRows = 24;
/** So that funnel and caterpillars together stay below 2,000 marks. */
const mostDots = 800;
const mostLabels = 3;
/** Only dots this many times farther than the limit are named, so that names stand free. */
const farOut = 1.6;

/** Everybody, each item's cutters at both ends, and who lies outside what chance allows. */
export const peopleView = (facts: TrainerFacts): PeopleView => {
  const main = facts.input.modeled.effects.filter(
    (row) => row.kind === 'cutter-item' && row.outcome === 'main_cut',
  );
  const habits = new Map(groups(toVisit(facts.findings, facts), (finding) => finding.cutter));
  return {
    people: [...facts.testsByCutter]
      .map(([cutter, tests]) => ({
        label: facts.label(cutter),
        href: facts.cutterFile(cutter),
        store: facts.store(tests.at(-1)?.store ?? ''),
        tests: tests.length,
        toWorkOn: (habits.get(cutter) ?? []).map((finding) => findingTopic(finding, facts)).join('; '),
      }))
      .sort((a, b) => Number(b.toWorkOn !== '') - Number(a.toWorkOn !== '') || (a.label < b.label ? -1 : 1)),
    items: groups(
      main.filter((row) => row.status === 'ok' && row.reliability >= comparable && Number.isFinite(row.low)),
      (row) => row.item,
    ).map(([item, own]) => itemRows(item, own, facts)),
    actedFrom: facts.input.chain.thresholds.effect_points,
    funnel: funnelOf(main, facts),
  };
};

const itemRows = (
  item: string,
  own: readonly EffectRow[],
  facts: TrainerFacts,
): PeopleView['items'][number] => {
  const sorted = [...own].sort((a, b) => a.effect - b.effect);
  const ends =
    sorted.length <= mostRows ? sorted : [...sorted.slice(0, mostRows / 2), ...sorted.slice(-mostRows / 2)];
  return {
    item: facts.item(item),
    tests: ends.reduce((sum, row) => sum + row.tests, 0),
    shown: ends.length,
    of: sorted.length,
    rows: ends.map((row) => ({
      label: facts.label(row.id),
      value: row.effect,
      low: row.low,
      high: row.high,
      tests: row.tests,
    })),
  };
};

/** Raw differences over their number of tests, with limits of +-1.96 times the usual error of that many tests. */
const funnelOf = (main: readonly EffectRow[], facts: TrainerFacts): PeopleView['funnel'] => {
  const known = main.filter(
    (row) => Number.isFinite(row.difference) && Number.isFinite(row.differenceSd) && row.tests > 1,
  );
  if (known.length < 3) return { dots: [], limits: [], of: 0 };
  const perTest = median(known.map((row) => row.differenceSd * Math.sqrt(row.tests)));
  const reach = (tests: number): number => (z975 * perTest) / Math.sqrt(tests);
  const far = [...known].sort(
    (a, b) => Math.abs(b.difference) / reach(b.tests) - Math.abs(a.difference) / reach(a.tests),
  );
  const dots = far.slice(0, mostDots).map((row, i) => {
    const isOutside = Math.abs(row.difference) > reach(row.tests);
    return {
      tests: row.tests,
      difference: row.difference,
      outside: isOutside,
      who: `${facts.label(row.id)}, ${facts.item(row.item)}`,
      label:
        Math.abs(row.difference) > farOut * reach(row.tests) && i < mostLabels
          ? `${facts.label(row.id)}, ${row.item}`
          : '',
    };
  });
  const most = known.reduce((high, row) => Math.max(high, row.tests), 0);
  const least = known.reduce((low, row) => Math.min(low, row.tests), most);
  const limits = [...Array(most - least + 1).keys()].map((i) => {
    const tests = least + i;
    return { tests, low: -reach(tests), high: reach(tests) };
  });
  return { dots, limits, of: known.length };
};
