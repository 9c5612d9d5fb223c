import type { FindingRow, FoundNight } from '../../src/findings/found.ts';
import { dayFromIso } from '../../src/units/calendarDay.ts';
import { type Figures, meanOf, rate, share } from './figures.ts';
import type { SimChain, SimCutter, SimTest } from './simulated.ts';

const testsAfterChange = 12;
const testsAfterCoaching = 10;
const fewestToJudge = 20;

type Own = { cutter: SimCutter; tests: SimTest[]; findings: FindingRow[] };

/** How findings on change, coaching and unweighed tests compare with the truth. */
export const scoreChange = (sim: SimChain, found: FoundNight): Figures => {
  const testsOf = grouped(sim.tests, (test) => test.cutter.cutter);
  const findingsOf = grouped(found.findings, (row) => row.cutter);
  const all = sim.cutters.map(
    (cutter): Own => ({
      cutter,
      tests: testsOf.get(cutter.cutter) ?? [],
      findings: findingsOf.get(cutter.cutter) ?? [],
    }),
  );
  return { ...drift(sim, all), ...coaching(all), ...notWeighed(all) };
};

const grouped = <Row>(rows: readonly Row[], keyOf: (row: Row) => string): Map<string, Row[]> => {
  const groups = new Map<string, Row[]>();
  for (const row of rows) {
    const own = groups.get(keyOf(row));
    if (own === undefined) groups.set(keyOf(row), [row]);
    else own.push(row);
  }
  return groups;
};

const drift = (sim: SimChain, all: readonly Own[]): Figures => {
  const driftsOf = (own: Own): FindingRow[] => own.findings.filter(({ kind }) => kind === 'drift');
  const shifted = all.filter(
    ({ cutter, tests }) =>
      cutter.drift !== undefined &&
      tests.filter(({ day }) => day >= (cutter.drift?.day as number)).length >= testsAfterChange,
  );
  const right = (own: Own): FindingRow[] =>
    driftsOf(own).filter((row) => Math.sign(row.effect) === Math.sign(own.cutter.drift?.size ?? 0));
  const late = shifted.flatMap((own) =>
    right(own)
      .slice(0, 1)
      .map((row) => testsBetween(own, row)),
  );
  const steady = all.filter(
    ({ cutter }) => cutter.drift === undefined && cutter.learning === 0 && !isCoached(cutter),
  );
  const inChanged = (own: Own): boolean =>
    own.cutter.home.change !== undefined || own.cutter.second?.change !== undefined;
  const alarms = steady.filter((own) => !inChanged(own)).reduce((sum, own) => sum + driftsOf(own).length, 0);
  const months = steady.filter((own) => !inChanged(own)).length * sim.settings.months;
  return {
    'drift found': share(shifted, (own) => right(own).length > 0),
    'drift found, losses only': share(
      shifted.filter(({ cutter }) => (cutter.drift?.size ?? 0) < 0),
      (own) => right(own).length > 0,
    ),
    'drift date off by more than 4 tests': share(late, (tests) => tests > 4),
    'drift size less truth, points': meanOf(
      shifted.flatMap((own) =>
        right(own)
          .slice(0, 1)
          .map((row) => Math.abs(row.effect) - Math.abs(own.cutter.drift?.size ?? 0)),
      ),
      (gap) => gap,
    ),
    'false drift per 300 cutter-months': rate(300 * alarms, months),
    'drift on cutters of a changed store': share(steady.filter(inChanged), (own) => driftsOf(own).length > 0),
    'drift or coaching news on beginners': share(
      all.filter(({ cutter }) => cutter.learning > 0),
      (own) => own.findings.some(({ kind }) => kind === 'drift' || kind === 'improved'),
    ),
  };
};

/** The cutter's tests between the day found and the true day. */
const testsBetween = ({ cutter, tests }: Own, row: FindingRow): number => {
  const [truth, found] = [cutter.drift?.day as number, dayFromIso(row.since)];
  const [from, to] = [Math.min(truth, found), Math.max(truth, found)];
  return tests.filter(({ day }) => day >= from && day < to).length;
};

const isCoached = ({ coached }: SimCutter): boolean => coached !== undefined && !coached.isControl;

const coaching = (all: readonly Own[]): Figures => {
  const events = all.filter(({ cutter, tests }) => {
    const { coached } = cutter;
    return (
      coached !== undefined &&
      !coached.isControl &&
      tests.filter(
        ({ day, item }) => day > coached.day && (coached.item === '' || coached.item === item.item),
      ).length >= testsAfterCoaching
    );
  });
  const isTrue = ({ cutter }: Own): boolean =>
    cutter.coached !== undefined && (cutter.coached.gain >= 2 || cutter.coached.curesHabit);
  const says =
    (kind: string) =>
    (own: Own): boolean =>
      own.findings.some((row) => row.kind === kind);
  const [improved, same] = [events.filter(isTrue), events.filter((own) => !isTrue(own))];
  return {
    'improved called improved': share(improved, says('improved')),
    'improved called too early': share(improved, says('too-early')),
    'no effect called improved': share(same, says('improved')),
    'no effect called not improved': share(same, says('not-improved')),
    'controls called improved': share(
      all.filter(({ cutter }) => cutter.coached?.isControl === true),
      says('improved'),
    ),
  };
};

const notWeighed = (all: readonly Own[]): Figures => {
  const says = ({ findings }: Own): boolean => findings.some(({ kind }) => kind === 'weights-not-weighed');
  const judged = all.filter(({ tests }) => tests.length >= fewestToJudge);
  const honest = all.filter(({ cutter }) => !cutter.inventor);
  return {
    'unweighed tests found': share(
      judged.filter(({ cutter }) => cutter.inventor),
      says,
    ),
    'honest cutters asked, per 3000': rate(3000 * honest.filter(says).length, honest.length),
  };
};
