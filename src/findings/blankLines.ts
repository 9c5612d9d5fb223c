import type { Chain } from '../catalog/chain.ts';
import { classWords } from '../catalog/outcomes.ts';
import type { MeasuredOutput, MeasuredTest } from '../measure/measured.ts';
import { binomialAtLeast } from '../tables/betaDistribution.ts';
import { groupedBy } from '../tables/groupedBy.ts';
import { isoFromDay } from '../units/calendarDay.ts';
import { countedTests } from '../units/counted.ts';
import type { FindingRow } from './found.ts';
import { noMoney, writtenFinding } from './writtenFinding.ts';

/** Blank lines are counted over so many days. */
const recentDays = 90;
const fewestBlank = 5;
/** A line left blank in more sheets than this is no slip; common practice, no source. */
const slips = 0.1;
const tubs = new Set<string>([classWords.lean_trim, classWords.fat]);

export type BlankInput = {
  chain: Chain;
  asOfDay: number;
  /** Tests in force, held ones too: a sheet with a blank line is held. */
  all: readonly MeasuredTest[];
  outputs: readonly MeasuredOutput[];
  /** Day on which a test was first known to the chain. */
  seenDayOf: (test: MeasuredTest) => number;
};

/** A line of a sheet: left blank, or weighed (0 is a weight). */
type Line = { test: MeasuredTest; output: string; outputClass: string; isBlank: boolean };

/**
 * Lines that are left blank again and again, so that the sheets are set aside and nothing else is seen of them: of a cutter, or of the
 * room where most of its cutters do. Told at the chain's chance, where more than one sheet in ten has the line blank.
 */
export const blankLines = (input: BlankInput): FindingRow[] => {
  const lines = recentLines(input);
  const before = new Set(
    toldOf(
      lines.filter(({ test }) => input.seenDayOf(test) < input.asOfDay),
      input.chain,
    ).map(keyOf),
  );
  return toldOf(lines, input.chain).map((told) =>
    row(told, before.has(keyOf(told)) ? 'continuing' : 'new', input.chain),
  );
};

const recentLines = ({ all, outputs, asOfDay }: BlankInput): Line[] => {
  const tests = new Map(
    all.filter(({ cutDay }) => cutDay > asOfDay - recentDays).map((test) => [nameOf(test), test]),
  );
  return outputs.flatMap((line): Line[] => {
    const test = tests.get(nameOf(line));
    const { output, outputClass, outputKg } = line;
    return test === undefined ? [] : [{ test, output, outputClass, isBlank: Number.isNaN(outputKg) }];
  });
};

const nameOf = ({ store, testId }: { store: string; testId: string }): string => `${store}\u0000${testId}`;

/** `cutter` is '' where it is the room's way. */
type Told = { store: string; cutter: string; output: string; lines: readonly Line[]; chance: number };

const keyOf = ({ store, cutter, output }: Told): string => `${store}\u0000${cutter}\u0000${output}`;

const toldOf = (lines: readonly Line[], chain: Chain): Told[] =>
  [...groupedBy(lines, ({ test, output }) => `${test.store}\u0000${output}`).values()].flatMap((here) => {
    const { test, output } = here[0] as Line;
    const people = [...groupedBy(here, (line) => line.test.cutter)];
    const told = people
      .map(
        ([cutter, own]): Told => ({ store: test.store, cutter, output, lines: own, chance: chanceOf(own) }),
      )
      .filter(
        ({ lines: own, chance }) => blanks(own).length >= fewestBlank && chance >= chain.thresholds.chance,
      );
    return told.length > 1 && told.length > people.length / 2
      ? [
          {
            store: test.store,
            cutter: '',
            output,
            lines: here,
            chance: Math.max(...told.map(({ chance }) => chance)),
          },
        ]
      : told;
  });

const blanks = (lines: readonly Line[]): Line[] => lines.filter(({ isBlank }) => isBlank);

/** One less the exact p-value of so many blanks where one sheet in ten has one by slip. */
const chanceOf = (lines: readonly Line[]): number =>
  1 - binomialAtLeast(blanks(lines).length, lines.length, slips);

const row = (
  { store, cutter, output, lines, chance }: Told,
  status: FindingRow['status'],
  chain: Chain,
): FindingRow => {
  const own = blanks(lines).sort(
    (a, b) => b.test.cutDay - a.test.cutDay || (a.test.testId < b.test.testId ? -1 : 1),
  );
  const last = own[0] as Line;
  const items = new Set(own.map(({ test }) => test.item));
  return writtenFinding(
    {
      kind: own.some(({ outputClass }) => tubs.has(outputClass)) ? 'unweighed-trim' : 'missing-product',
      store,
      region: last.test.region,
      cutter,
      item: items.size === 1 ? last.test.item : '',
      outcome: 'weights',
      status,
      since: isoFromDay((own.at(-1) as Line).test.cutDay),
      effect: Number.NaN,
      low: Number.NaN,
      high: Number.NaN,
      chance,
      tests: own.length,
      comparedWith: 'the sheets of the chain, which have it',
      money: noMoney,
      seen: `${output} is left blank in ${own.length} of ${countedTests(lines.length)} of the last ${recentDays} days, so that these sheets are set aside`,
      evidence: own.map(({ test }) => test),
      adjustments: [],
    },
    chain,
  );
};
