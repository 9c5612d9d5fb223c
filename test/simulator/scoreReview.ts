import type { FoundNight } from '../../src/findings/found.ts';
import type { MeasuredNight, MeasuredOutput, MeasuredTest } from '../../src/measure/measured.ts';
import { rowsOf } from '../../src/tables/rows.ts';
import { kgPerLb } from '../../src/units/weight.ts';
import { type Figures, share } from './figures.ts';
import type { Label, SimChain, SimTest } from './simulated.ts';
import { outputOf } from './simulatedFolder.ts';
import { keyingErrors } from './spoilTests.ts';

/** Errors that can be undone from the sheet alone. */
const repairable = new Set<Label>([
  'test-unit',
  'received-unit',
  'ounces',
  'line-unit',
  'decimal-line',
  'decimal-received',
  'swapped',
]);
const near = 0.005;

type Reviewed = { test: SimTest; state: string; isRight: boolean };

/** How the tests set aside or repaired compare with the errors that were planted. */
export const scoreReview = (sim: SimChain, measured: MeasuredNight, found: FoundNight): Figures => {
  const reviewed = reviewedTests(sim, measured);
  const of = (label: Label): Reviewed[] => reviewed.filter(({ test }) => test.label === label);
  const isCaught = ({ state }: Reviewed): boolean => state !== 'used';
  const isRepaired = ({ state }: Reviewed): boolean => state === 'repaired';
  const unit = [...of('test-unit'), ...of('received-unit'), ...of('ounces')];
  const repaired = reviewed.filter(isRepaired);
  const wrong = new Set(repaired.filter(({ isRight }) => !isRight).map(({ test }) => test.testId));
  return {
    'caught: whole unit, received unit, ounces': share(unit, isCaught),
    'caught: decimal shift': share([...of('decimal-line'), ...of('decimal-received')], isCaught),
    ...Object.fromEntries(
      [...keyingErrors, 'copied' as const, 'invented' as const].map((label) => [
        `caught: ${label}`,
        share(of(label), isCaught),
      ]),
    ),
    'good tests set aside': share(of('good'), isCaught),
    'repairable repaired': share(
      reviewed.filter(({ test }) => repairable.has(test.label)),
      isRepaired,
    ),
    'repairs that are wrong': share(repaired, ({ isRight }) => !isRight),
    'findings with a wrong repair behind them': share(found.findings, (row) =>
      row.evidence.some(({ testId }) => wrong.has(testId)),
    ),
  };
};

const reviewedTests = (sim: SimChain, measured: MeasuredNight): Reviewed[] => {
  const rows = new Map(rowsOf<MeasuredTest>(measured.tests).map((row) => [row.testId, row]));
  const lines = new Map<string, Map<string, number>>();
  for (const line of rowsOf<MeasuredOutput>(measured.outputs)) {
    const own = lines.get(line.testId) ?? new Map<string, number>();
    lines.set(line.testId, own.set(line.output, line.outputKg));
  }
  return sim.tests.map((test) => {
    const row = rows.get(test.testId);
    const own = lines.get(test.testId) ?? new Map<string, number>();
    const isRight =
      row !== undefined &&
      isNear(row.receivedKg, test.asWeighed.receivedLb) &&
      test.asWeighed.lines.every(({ name, lb }) => isNear(own.get(outputOf[name]) ?? Number.NaN, lb));
    // a test that is no longer there was set aside
    return { test, state: row?.state ?? 'held', isRight };
  });
};

/** Equal within 0.5 % or a hundredth of a pound. */
const isNear = (kg: number, lb: number): boolean => Math.abs(kg / kgPerLb - lb) <= Math.max(near * lb, 0.011);
