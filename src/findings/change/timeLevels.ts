import { type Outcome, outcomes } from '../../catalog/outcomes.ts';
import type { CoachingRow, CutterRow } from '../../normalize/normalized.ts';
import { codesOf } from '../../tables/columns.ts';
import { type ChartLimits, limitsByRunLength } from './chartLimits.ts';
import { lastingLeft } from './lastingLeft.ts';
import { type LearningCurve, learningCurve, withoutLearning } from './learningCurve.ts';
import { chartScales } from './levelChanges.ts';
import { monthShifts } from './monthShifts.ts';
import type { PeopleTests } from './peopleTests.ts';
import { type StoreChange, storeChanges, withoutStoreChanges } from './storeChanges.ts';

/** What is left of each test for its cutter alone: without store, month, beginner's learning and changes of the whole store. */
export type TimeLevels = {
  people: PeopleTests;
  left: Record<Outcome, Float64Array>;
  /** What habits are judged on: lastingLeft. */
  lasting: Record<Outcome, Float64Array>;
  scale: Record<Outcome, number>;
  stores: StoreChange[];
  learning: LearningCurve | undefined;
  sinceOf: (cutter: string) => number;
  limitsOf: (runLength: number) => ChartLimits;
};

/** Everything that moves tests over time and is not one cutter's doing, taken out in turn. */
export const timeLevels = (
  people: PeopleTests,
  { cutters, coaching }: { cutters: readonly CutterRow[]; coaching: readonly CoachingRow[] },
): TimeLevels => {
  const since = new Map(cutters.map((row) => [row.cutter, row.since]));
  const sinceOf = (cutter: string): number => since.get(cutter) ?? Number.NaN;
  const limitsOf = limitsByRunLength();
  const cell = codesOf(people.tests.map((test) => `${test.cutter}\u0000${test.item}`));
  const group = { day: people.day, group: cell.codes, groups: cell.levels.length };
  const coached = new Set(coaching.map((row) => row.cutter));
  const uncoached = controlSd(people, coached);
  const monthly = Object.fromEntries(
    outcomes.map((outcome) => {
      const shift = monthShifts(people.left[outcome], uncoached(outcome), group);
      return [outcome, people.left[outcome].map((value, i) => value - (shift[i] as number))];
    }),
  ) as Record<Outcome, Float64Array>;
  const learning = learningCurve(people, monthly, { sinceOf, coached });
  const learned = withoutLearning(people, monthly, { curve: learning, sinceOf });
  const scale = chartScales(people, learned);
  const stores = storeChanges({ people, left: learned, scale }, limitsOf);
  const left = withoutStoreChanges({ people, left: learned }, stores);
  const lasting = lastingLeft(people, { learning, stores, sinceOf });
  return { people, left, lasting, scale, stores, learning, sinceOf, limitsOf };
};

const fewestControls = 5;

/** SDs that let only people who were never coached tell what a month does (0 = not counted); everybody where they are too few. */
const controlSd = (
  people: PeopleTests,
  coached: ReadonlySet<string>,
): ((outcome: Outcome) => Float64Array) => {
  const isControl = people.cutter.levels.map((name) => !coached.has(name));
  if (isControl.filter(Boolean).length < fewestControls) return (outcome) => people.sd[outcome];
  return (outcome) =>
    people.sd[outcome].map((sd, i) => (isControl[people.cutter.codes[i] as number] === true ? sd : 0));
};
