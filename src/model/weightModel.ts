import { quantileSorted } from 'simple-statistics';
import { outcomes } from '../catalog/outcomes.ts';
import { dot, quadraticForm } from '../tables/quadraticForm.ts';
import type { PredictedOutcome, WeightModel } from './modeled.ts';
import { weightRow, yieldDesign } from './yieldDesign.ts';
import type { YieldFit, YieldProblem } from './yieldFit.ts';

const predicted: readonly PredictedOutcome[] = ['saleable', 'main_cut', 'value'];

/** The fitted weight curve of one item, spec and treatment, for the most used method and the average of all else. */
export const weightModel = (
  problem: YieldProblem,
  fit: YieldFit,
  name: { item: string; spec: string; treatment: string },
): WeightModel => {
  const { centers, method, grade, spline } = yieldDesign(problem);
  const sorted = [...problem.pieceKg].sort((a, b) => a - b);
  const row = (ofGrade: string, pieceKg: number): number[] => {
    const values = new Array<number>(centers.length).fill(0);
    values[0] = 1;
    const setLevel = (levels: ReadonlyMap<string, number>, level: string): void => {
      for (const [known, at] of levels)
        if (at >= 0) values[at] = (known === level ? 1 : 0) - (centers[at] as number);
    };
    setLevel(method, [...method.keys()][0] ?? '');
    setLevel(grade, ofGrade);
    for (const [k, value] of weightRow({ centers, spline }, pieceKg).entries())
      values[spline.first + k] = value;
    return values;
  };
  const outcomeOf = (outcome: PredictedOutcome): WeightModel['outcomes'][PredictedOutcome] => {
    const own = fit.fits[outcomes.indexOf(outcome)];
    if (own === undefined) return undefined;
    return {
      coefficients: Array.from(own.beta, (value) => (Number.isNaN(value) ? 0 : value)),
      covariance: Array.from(own.betaCovariance, (value) => (Number.isNaN(value) ? 0 : value)),
      residualSd: own.residualSd,
    };
  };
  return {
    ...name,
    tests: problem.day.length,
    lowKg: quantileSorted(sorted, 0.02),
    highKg: quantileSorted(sorted, 0.98),
    grades: [...grade.keys()].sort(),
    row,
    outcomes: Object.fromEntries(
      predicted.map((outcome) => [outcome, outcomeOf(outcome)]),
    ) as WeightModel['outcomes'],
  };
};

/** Mean and SE of an outcome at a design row; NaN when the outcome was not fitted. */
export const predict = (
  model: WeightModel,
  outcome: PredictedOutcome,
  row: readonly number[],
): { mean: number; se: number } => {
  const own = model.outcomes[outcome];
  if (own === undefined) return { mean: Number.NaN, se: Number.NaN };
  const variance = quadraticForm(row, own.covariance, row);
  return { mean: dot(row, own.coefficients), se: Math.sqrt(Math.max(0, variance)) };
};
