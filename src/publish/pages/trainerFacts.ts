import { type ClassOutcome, classOutcomes } from '../../catalog/outcomes.ts';
import type { FindingRow } from '../../findings/found.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { byCodeUnit } from '../../tables/byCodeUnit.ts';
import { remembered } from '../../tables/remembered.ts';
import { pickedRows } from '../../tables/rows.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import type { SitesInput } from '../sitesInput.ts';
import { type Formats, formats } from './formats.ts';
import { groups } from './groups.ts';
import { names, pageFile } from './names.ts';
import { isReporting } from './peopleFree.ts';

/** Columns of measured tests that the trainer's pages read. */
export const testFields = [
  'store',
  'testId',
  'cutter',
  'cutDay',
  'item',
  'spec',
  'grade',
  'mainCutYield',
  'otherCutYield',
  'leanTrimYield',
  'fatYield',
  'boneYield',
  'wasteYield',
  'unaccountedYield',
  'state',
  'reasons',
  'sourceFile',
  'sourceLine',
] as const;
type ExpectedFields = { [name in `${'expected' | 'residual'}_${ClassOutcome}`]: number };

/** Columns of expected yields that the trainer's pages read. */
export const expectedFields = classOutcomes.flatMap(
  (outcome) => [`expected_${outcome}`, `residual_${outcome}`] as const,
);

/** One test with what it should have yielded; fractions of drained weight, NaN where it was not used. */
export type FullTest = Pick<MeasuredTest, (typeof testFields)[number]> & { model: ExpectedFields };

/** What the trainer's pages read, looked up once for the whole bundle. */
export type TrainerFacts = {
  input: SitesInput;
  testsByCutter: ReadonlyMap<string, FullTest[]>;
  testsByStore: ReadonlyMap<string, FullTest[]>;
  /** With what to know of their time and room; those that only old tests show stand last. */
  findings: FindingRow[];
  /** ISO day of the last test behind a finding that only old tests show, by its id. */
  seenUntil: ReadonlyMap<string, string>;
  /** Stores in which one cutter cut all tests, with that cutter. */
  lone: ReadonlyMap<string, string>;
  /** Cutters of whom it is asked whether fat, silverskin or a tray is weighed as meat: a rise of theirs is part of that question. */
  doubted: ReadonlySet<string>;
  /** Cutter as the pages show it: code, or name where the chain says so. */
  label: (cutter: string) => string;
  /** The same within a sentence: `cutter 2f823a54`, or the name. */
  who: (cutter: string) => string;
  cutterFile: (cutter: string) => string;
  storeFile: (store: string) => string;
  store: (store: string) => string;
  item: (item: string) => string;
};

const doubts: ReadonlySet<string> = new Set(['under-trimming', 'fat-in-trim', 'tare-question']);

/** Gathers the trainer's facts; findings come with codes in place of cutters' ids. */
export const trainerFacts = (input: SitesInput): TrainerFacts => {
  const { chain, cutterCode } = input;
  const named = input.reference.cutters.filter((row) => row.name !== '');
  const nameOf = new Map(named.map((row) => [row.cutter, row.name]));
  const codes = new Map<string, string>();
  const codeOf = (cutter: string): string => remembered(codes, cutter, () => cutterCode(cutter));
  const label = (cutter: string): string =>
    chain.privacy.names ? nameOf.get(cutter) || cutter : codeOf(cutter);
  const called = names(chain, input.found.stores);
  const write = formats(chain);
  const tests = fullTests(input);
  const testsByCutter = new Map(groups(tests, (test) => test.cutter));
  const testsByStore = new Map(groups(tests, (test) => test.store));
  const rows = input.found.findings.filter((finding) => finding.reader === 'trainer');
  const seenUntil = lastSeen(rows, { input, testsByCutter });
  const lone = loneRooms(testsByStore);
  const alone = (finding: FindingRow): string =>
    loneNote(finding, lone, (cutter) => {
      const last = testsByCutter.get(cutter)?.at(-1)?.store ?? '';
      return last === finding.store ? '' : called.store(last);
    });
  const findings = rows.map((finding) => ({
    ...finding,
    says: withDays(
      [withLabel(finding.says, finding.cutter, label), untilNote(finding, seenUntil), alone(finding)]
        .filter((part) => part !== '')
        .join(' '),
      write,
    ),
    step: isLoneRoom(finding, lone) ? stepWhereAlone : finding.step,
  }));
  return {
    input,
    testsByCutter,
    testsByStore,
    findings: findings.sort(
      (a, b) => Number(seenUntil.has(a.findingId)) - Number(seenUntil.has(b.findingId)),
    ),
    seenUntil,
    lone,
    doubted: new Set(
      input.found.findings
        .filter(({ kind, status }) => doubts.has(kind) && status !== 'resolved')
        .map(({ cutter }) => cutter),
    ),
    label,
    who: (cutter) => (chain.privacy.names ? label(cutter) : `cutter ${label(cutter)}`),
    cutterFile: (cutter) => `cutter-${codeOf(cutter)}.html`,
    storeFile: (store) => pageFile('store', store),
    store: called.store,
    item: called.item,
  };
};

const fullTests = ({ measured, modeled }: SitesInput): FullTest[] => {
  const expected = new Map(
    pickedRows<{ store: string; testId: string } & ExpectedFields, 'store' | 'testId' | keyof ExpectedFields>(
      modeled.expected,
      ['store', 'testId', ...expectedFields],
    ).map((row) => [`${row.store}\u0000${row.testId}`, row]),
  );
  const unknown = Object.fromEntries(expectedFields.map((field) => [field, Number.NaN])) as ExpectedFields;
  return pickedRows<MeasuredTest, (typeof testFields)[number]>(measured.tests, testFields)
    .map((test) =>
      Object.assign(test, { model: expected.get(`${test.store}\u0000${test.testId}`) ?? unknown }),
    )
    .sort((x, y) => x.cutDay - y.cutDay || byCodeUnit(x.testId, y.testId));
};

/**
 * Last tests of findings that only old tests show: of a store from which nothing can be read that was cut within the days
 * allowed, unless its cutter has lately been tested elsewhere.
 */
const lastSeen = (
  findings: readonly FindingRow[],
  { input, testsByCutter }: Pick<TrainerFacts, 'input' | 'testsByCutter'>,
): Map<string, string> => {
  const lastOf = new Map(
    input.found.stores.filter((store) => !isReporting(store)).map((row) => [row.store, row.lastTest]),
  );
  const firstRecent = input.asOfDay - input.chain.freshness.stale_after_days;
  return new Map(
    findings.flatMap(({ findingId, store, cutter, status }): [string, string][] => {
      const ofStore = lastOf.get(store);
      if (ofStore === undefined || status === 'resolved') return [];
      const last = testsByCutter.get(cutter)?.at(-1)?.cutDay;
      if (last !== undefined && last >= firstRecent) return [];
      return [[findingId, last === undefined ? ofStore : isoFromDay(last)]];
    }),
  );
};

const untilNote = ({ findingId }: FindingRow, seenUntil: ReadonlyMap<string, string>): string => {
  const day = seenUntil.get(findingId);
  return day === undefined ? '' : `Seen until ${day}: no later test is there.`;
};

/** Stores whose tests in force are all of one cutter. */
const loneRooms = (testsByStore: TrainerFacts['testsByStore']): Map<string, string> =>
  new Map(
    [...testsByStore].flatMap(([store, tests]): [string, string][] => {
      const cutters = new Set(tests.filter(({ state }) => state !== 'held').map(({ cutter }) => cutter));
      return cutters.size === 1 ? [[store, [...cutters][0] as string]] : [];
    }),
  );

/** Whether it is told of a whole room in which one cutter cut. */
export const isLoneRoom = ({ kind, store }: FindingRow, lone: TrainerFacts['lone']): boolean =>
  kind === 'room-habit' && lone.has(store);

const stepWhereAlone =
  'Look at the table, the knives and what is asked for as well as at the cut: the tests cannot tell them from the person.';

/** `laterStore`: the store at which a cutter of this one has cut since, as the pages call it; '' = none. */
const loneNote = (
  { cutter, status, store }: FindingRow,
  lone: TrainerFacts['lone'],
  laterStore: (cutter: string) => string,
): string => {
  const who = lone.get(store);
  if (cutter !== '' || status === 'resolved' || who === undefined) return '';
  const later = laterStore(who);
  const since = later === '' ? '' : ` and has cut at ${later} since`;
  return `One cutter cut all tests here${since}: person and room cannot be told apart.`;
};

/** A text with its ISO days as their readers write them. */
export const withDays = (text: string, { day }: Pick<Formats, 'day'>): string =>
  text.replaceAll(/(?<![\w-])\d{4}-\d{2}-\d{2}(?![\w-])/g, day);

/** A text with a cutter's id replaced by the label, wherever it stands as a word; ids of digits only at the beginning. */
export const withLabel = (text: string, cutter: string, label: (cutter: string) => string): string => {
  if (cutter === '') return text;
  const shown = label(cutter);
  const begun = text.startsWith(cutter) ? `${shown}${text.slice(cutter.length)}` : text;
  if (/^\d+$/.test(cutter)) return begun;
  const word = new RegExp(`(?<![\\w-])${cutter.replaceAll(/[.*+?^${}()|[\]\\]/g, '\\$&')}(?![\\w-])`, 'g');
  return begun.replaceAll(word, () => shown);
};
