import { type ClassOutcome, classOutcomes } from '../../catalog/outcomes.ts';
import type { FindingRow } from '../../findings/found.ts';
import type { MeasuredTest } from '../../measure/measured.ts';
import { byCodeUnit } from '../../tables/byCodeUnit.ts';
import { remembered } from '../../tables/remembered.ts';
import { pickedRows } from '../../tables/rows.ts';
import type { SitesInput } from '../sitesInput.ts';
import { type Formats, formats } from './formats.ts';
import { groups } from './groups.ts';
import { names, pageFile } from './names.ts';

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
  findings: FindingRow[];
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
  return {
    input,
    testsByCutter: new Map(groups(tests, (test) => test.cutter)),
    testsByStore: new Map(groups(tests, (test) => test.store)),
    findings: input.found.findings
      .filter((finding) => finding.reader === 'trainer')
      .map((finding) => ({
        ...finding,
        says: withDays(withLabel(finding.says, finding.cutter, label), write),
      })),
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
