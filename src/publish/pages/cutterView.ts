import { type ClassOutcome, classOutcomes, classWords } from '../../catalog/outcomes.ts';
import type { FindingRow } from '../../findings/found.ts';
import type { EffectRow } from '../../model/modeled.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { StripPart } from '../charts/compositionStrip.ts';
import type { ControlData } from '../charts/controlChart.ts';
import type { DotRow } from '../charts/dotInterval.ts';
import { type Cell, dayCell } from './dataTable.tsx';
import { findingAsk, isGoodRise, questionFirst, toVisit } from './findingAction.ts';
import { findingGoesOn, findingItem, findingNews, findingSays, findingsSum } from './findingText.ts';
import type { Formats } from './formats.ts';
import { moneySpan } from './losses.ts';
import { moneyText } from './moneyText.ts';
import { stripParts } from './stripParts.ts';
import { testHistory } from './testHistory.ts';
import type { FullTest, TrainerFacts } from './trainerFacts.ts';

export type Progress = { item: string; tests: number; needed: number; reliability: number };
/** All that a page about one cutter says. */
export type CutterView = {
  label: string;
  who: string;
  stores: { text: string; href: string }[];
  tests: number;
  lastTest: string;
  strengths: string[];
  /** It is asked whether fat or a tray is weighed as meat: more meat than expected is no strength. */
  inDoubt: boolean;
  /** What it is too early to say. */
  open: string[];
  /** What is told of a whole room that the cutter works in; nobody is meant, and it may be theirs too. */
  room: string[];
  habits: { title: string; headline: string; step: string; target: string; worth: string }[];
  item: string;
  outcome: string;
  classes: DotRow[];
  classTests: number;
  strip: StripPart[];
  stripTest: string;
  history: ControlData;
  progress: Progress[];
  rows: Cell[][];
};

const comparable = 0.5;

/** What one cutter's page says, from their tests, effects and findings. */
export const cutterView = (
  cutter: string,
  effects: readonly EffectRow[],
  { facts, write }: { facts: TrainerFacts; write: Formats },
): CutterView => {
  const tests = facts.testsByCutter.get(cutter) ?? [];
  const about = facts.findings.filter((finding) => finding.cutter === cutter);
  const findings = questionFirst(toVisit(about, facts));
  const inDoubt = facts.doubted.has(cutter);
  const main = effects.filter((row) => row.outcome === 'main_cut');
  const item = findings[0]?.item || (mostTested(main)?.item ?? '');
  const outcome = outcomeOf(findings[0]);
  const used = tests.filter((test) => test.state !== 'held' && test.item === item);
  const strip = stripParts(used.at(-1), write);
  return {
    label: facts.label(cutter),
    who: facts.who(cutter),
    stores: [...new Set(tests.map((test) => test.store))]
      .sort()
      .map((store) => ({ text: facts.store(store), href: facts.storeFile(store) })),
    tests: tests.length,
    lastTest: write.day(isoFromDay(tests.at(-1)?.cutDay ?? Number.NaN)),
    strengths: [
      ...about
        .filter((finding) => isGood(finding, facts))
        .map((finding) => `On ${findingItem(finding, facts)}: ${findingGoesOn(finding)}`),
      ...strengthsOf(
        main.filter((row) => !(inDoubt && row.low > 0)),
        facts,
        write,
      ),
    ],
    inDoubt,
    open: about
      .filter((finding) => finding.kind === 'too-early')
      .map((finding) => `On ${findingItem(finding, facts)}: ${findingGoesOn(finding)}`),
    room: roomSays(tests, facts),
    habits: findings.map((finding) => habitOf(finding, facts, write)),
    item: facts.item(item),
    outcome: classWords[outcome],
    classes: classRows(effects, item),
    classTests: effects.find((row) => row.item === item)?.tests ?? 0,
    strip,
    stripTest:
      strip.length === 0
        ? ''
        : `${used.at(-1)?.testId}, ${write.day(isoFromDay(used.at(-1)?.cutDay ?? Number.NaN))}`,
    history: testHistory(used, outcome, coachedOn(cutter, item, facts)),
    progress: main
      .map((row) => ({
        item: facts.item(row.item),
        tests: row.tests,
        needed: row.testsNeeded,
        reliability: row.reliability,
      }))
      .sort((a, b) => b.tests - a.tests || (a.item < b.item ? -1 : 1)),
    rows: [...tests].reverse().map((test) => testRow(test, facts, write)),
  };
};

const ofRooms: ReadonlySet<string> = new Set(['room-habit', 'loss-high', 'people-differ', 'scale-question']);

const roomSays = (tests: readonly FullTest[], facts: TrainerFacts): string[] => {
  const stores = new Set(tests.map((test) => test.store));
  return facts.findings
    .filter(({ kind, cutter, store, status }) =>
      cutter === '' && stores.has(store) && status !== 'resolved' ? ofRooms.has(kind) : false,
    )
    .map((finding) => findingNews(finding, facts));
};

/** A coaching that worked, a level that rose, a habit or a fall that is over; a rise that is over is not. */
const isGood = (finding: FindingRow, facts: TrainerFacts): boolean =>
  finding.kind === 'improved' ||
  isGoodRise(finding, facts) ||
  (finding.status === 'resolved' && !(finding.kind === 'drift' && finding.effect > 0));

const mostTested = (rows: readonly EffectRow[]): EffectRow | undefined =>
  [...rows].sort((a, b) => b.tests - a.tests || (a.item < b.item ? -1 : 1))[0];

const outcomeOf = (finding: FindingRow | undefined): ClassOutcome =>
  classOutcomes.find((outcome) => outcome === finding?.outcome) ?? 'main_cut';

const strengthsOf = (main: readonly EffectRow[], facts: TrainerFacts, write: Formats): string[] =>
  [...main]
    .filter((row) => row.status === 'ok' && row.reliability >= comparable && row.high > 0)
    .sort((a, b) => b.low - a.low)
    .slice(0, 2)
    .map((row) =>
      row.low > 0
        ? `More main cut than expected on ${facts.item(row.item)}: ${write.signed(row.effect)} points (${write.range(row.low, row.high, write.signed)}), ${write.tests(row.tests)}.`
        : `Main cut as expected on ${facts.item(row.item)}: ${write.signed(row.effect)} points (${write.range(row.low, row.high, write.signed)}), ${write.tests(row.tests)}.`,
    );

const habitOf = (finding: FindingRow, facts: TrainerFacts, write: Formats): CutterView['habits'][number] => ({
  title: findingAsk(finding, facts),
  headline: findingSays(finding),
  step: finding.step,
  target: targetOf(finding, facts),
  worth:
    finding.moneyPerWeek > 0
      ? `To the store it is worth ${moneyText(findingsSum([finding]), moneySpan([finding]), write)}.`
      : '',
});

/** What to reach and by when it is looked at again; '' where a number would not help. */
const targetOf = (finding: FindingRow, facts: TrainerFacts): string => {
  const item = findingItem(finding, facts);
  if (finding.kind === 'portion-drift') return `Target: the next 20 portions of ${item} within tolerance.`;
  const isClass = classOutcomes.some((outcome) => outcome === finding.outcome);
  return isClass
    ? `Target: ${classWords[outcomeOf(finding)]} within 1 point of expected over the next 5 tests on ${item}.`
    : '';
};

const classRows = (effects: readonly EffectRow[], item: string): DotRow[] =>
  classOutcomes.flatMap((outcome) => {
    const row = effects.find((effect) => effect.item === item && effect.outcome === outcome);
    return row === undefined ||
      !Number.isFinite(row.low) ||
      (row.effect === 0 && row.low === 0 && row.high === 0)
      ? []
      : [{ label: classWords[outcome], value: row.effect, low: row.low, high: row.high }];
  });

const coachedOn = (cutter: string, item: string, { input }: TrainerFacts): number[] =>
  input.reference.coaching
    .filter((row) => row.cutter === cutter && (row.item === '' || row.item === item))
    .map((row) => row.coachedOn)
    .filter((day) => day <= input.asOfDay)
    .sort((a, b) => a - b);

const testRow = (test: FullTest, facts: TrainerFacts, write: Formats): Cell[] => [
  dayCell(isoFromDay(test.cutDay), write),
  test.testId,
  [facts.item(test.item), test.spec].filter((part) => part !== '').join(', '),
  test.grade,
  write.percent(test.mainCutYield),
  write.percent(test.model.expected_main_cut),
  write.signed(test.model.residual_main_cut * 100),
  write.percent(test.unaccountedYield),
  test.state === 'held' ? `set aside: ${test.reasons}` : test.state,
  `${test.sourceFile}:${test.sourceLine}`,
];
