import { kgPerLb } from '../../src/units/weight.ts';
import type { Draws } from './seededDraws.ts';
import type { Label, SimSheet, SimTest } from './simulated.ts';
import type { Settings } from './variants.ts';
import { onScale } from './weighTest.ts';

type Spoil = (test: SimTest, draws: Draws) => SimSheet | undefined;

/**
 * Spoils some tests and labels them: keying errors, tests copied from an earlier one, and tests written from memory
 * without weighing. The truth (yields) stays what it was; only what was sent changes.
 */
export const spoilTests = (tests: readonly SimTest[], settings: Settings, draws: Draws): SimTest[] => {
  const lastOf = new Map<string, SimTest>();
  return tests.map((test) => {
    const key = `${test.cutter.cutter} ${test.item.item}`;
    const last = lastOf.get(key);
    const isInvented = draws.chance(test.cutter.inventor ? 1 / 3 : settings.inventedShare);
    const isCopied = draws.chance(settings.copiedShare);
    const isKeyedWrong = draws.chance(settings.errorShare);
    const kind = draws.pick(keyingErrors);
    if (last !== undefined && isInvented)
      return { ...test, ...invented(test, last, draws), label: 'invented' };
    if (last !== undefined && isCopied) return { ...test, ...copied(test, last, draws), label: 'copied' };
    if (isKeyedWrong) {
      const wrong = spoils[kind](test, draws);
      if (wrong !== undefined) return { ...test, ...wrong, label: kind };
    }
    lastOf.set(key, test);
    return test;
  });
};

const scaled = (test: SimTest, factor: number): SimSheet => ({
  receivedLb: test.receivedLb * factor,
  purgeLb: test.purgeLb * factor,
  lines: test.lines.map((line) => ({ ...line, lb: line.lb * factor })),
});
/** Kilograms keyed as pounds, or pounds taken for kilograms. */
const unitFactor = (draws: Draws): number => (draws.chance(0.5) ? kgPerLb : 1 / kgPerLb);
const decimalFactor = (draws: Draws): number => (draws.chance(0.5) ? 10 : 0.1);

const farApart = 0.03;
const withLine = (test: SimTest, place: number, lb: number): SimSheet => ({
  receivedLb: test.receivedLb,
  purgeLb: test.purgeLb,
  lines: test.lines.map((line, k) => (k === place ? { ...line, lb } : line)),
});
const lbAt = (test: SimTest, place: number): number => (test.lines[place] as SimSheet['lines'][number]).lb;
/** A line that weighs more than 3 % of the piece. */
const largeLine = (test: SimTest, draws: Draws): number =>
  draws.pick([...test.lines.keys()].filter((k) => lbAt(test, k) > farApart * test.drainedLb));
/** Two lines that differ by more than 3 % of the piece, the larger first; undefined when there are none. */
const unlikeLines = (test: SimTest, draws: Draws): [number, number] | undefined => {
  const pairs = [...test.lines.keys()].flatMap((i) =>
    [...test.lines.keys()]
      .filter((j) => lbAt(test, i) - lbAt(test, j) > farApart * test.drainedLb)
      .map((j): [number, number] => [i, j]),
  );
  return pairs.length === 0 ? undefined : draws.pick(pairs);
};

const spoils = {
  'test-unit': (test, draws) => scaled(test, unitFactor(draws)),
  'received-unit': (test, draws) => ({ ...scaled(test, 1), receivedLb: test.receivedLb * unitFactor(draws) }),
  ounces: (test) => scaled(test, 16),
  'line-unit': (test, draws) => {
    const place = largeLine(test, draws);
    return withLine(test, place, lbAt(test, place) * unitFactor(draws));
  },
  'decimal-line': (test, draws) => {
    const place = largeLine(test, draws);
    return withLine(test, place, lbAt(test, place) * decimalFactor(draws));
  },
  'decimal-received': (test, draws) => ({
    ...scaled(test, 1),
    receivedLb: test.receivedLb * decimalFactor(draws),
  }),
  swapped: (test, draws) => {
    const pair = unlikeLines(test, draws);
    if (pair === undefined) return undefined;
    const [i, j] = pair;
    return {
      ...scaled(test, 1),
      lines: test.lines.map((line, k) =>
        k === i ? { ...line, lb: lbAt(test, j) } : k === j ? { ...line, lb: lbAt(test, i) } : line,
      ),
    };
  },
  'line-missing': (test, draws) => {
    const place = largeLine(test, draws);
    return { ...scaled(test, 1), lines: test.lines.filter((_, k) => k !== place) };
  },
  'line-twice': (test, draws) => {
    const pair = unlikeLines(test, draws);
    return pair === undefined ? undefined : withLine(test, pair[1], lbAt(test, pair[0]));
  },
} satisfies Record<Exclude<Label, 'good' | 'invented' | 'copied'>, Spoil>;
export const keyingErrors = Object.keys(spoils) as (keyof typeof spoils)[];

/** An earlier test sent again as a new one; three in ten with one figure changed by a division or two. */
const copied = (test: SimTest, last: SimTest, draws: Draws): SimSheet => {
  const same = { receivedLb: last.receivedLb, purgeLb: last.purgeLb, lines: last.lines };
  if (!draws.chance(0.3)) return same;
  const place = Math.floor(draws.uniform() * last.lines.length);
  const moved = lbAt(last, place) + draws.pick([1, 2]) * test.store.scaleDivisionLb;
  return { ...same, lines: last.lines.map((line, k) => (k === place ? { ...line, lb: moved } : line)) };
};

/** Received is read off the label; the lines are written from memory: last shares at this weight, tidy, and they add up. */
const invented = (test: SimTest, last: SimTest, draws: Draws): SimSheet => {
  const division = draws.pick([test.store.scaleDivisionLb, 0.1, 0.25]);
  const drained = test.receivedLb - (test.store.weighed === 'in-bag' ? test.purgeLb : 0);
  const lastDrained = last.receivedLb - (last.store.weighed === 'in-bag' ? last.purgeLb : 0);
  const lines = last.lines.map((line) => ({
    ...line,
    lb: onScale(
      (line.lb / lastDrained) * drained * (draws.chance(0.5) ? 1 : 1 + 0.01 * draws.normal()),
      division,
    ),
  }));
  return { receivedLb: test.receivedLb, purgeLb: test.purgeLb, lines };
};
