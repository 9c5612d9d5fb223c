import { quantileSorted } from 'simple-statistics';
import { outcomes } from '../catalog/outcomes.ts';
import { dot, quadraticForm } from '../tables/quadraticForm.ts';
import { isPredicted, type PredictedOutcome, type WeightModel } from './modeled.ts';
import { weightRow, yieldDesign } from './yieldDesign.ts';
import type { YieldFit, YieldProblem } from './yieldFit.ts';

/** The fitted weight curve of one item, spec and treatment, for the most used method and the average of all else; suppliers by their names. */
export const weightModel = (
  problem: YieldProblem,
  fit: YieldFit,
  name: { item: string; spec: string; treatment: string },
  supplierNames: readonly string[],
): WeightModel => {
  const { centers, method, grade, spline } = yieldDesign(problem);
  const sorted = [...problem.pieceKg].sort((a, b) => a - b);
  const suppliers = suppliersOf(fit).map((code) => supplierNames[code] as string);
  const row = (ofGrade: string, pieceKg: number, supplier = ''): number[] => {
    const values = [...centers.map(() => 0), ...suppliers.map((known) => (known === supplier ? 1 : 0))];
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
    if (own?.posterior === undefined) return undefined;
    const { coefficients, covariance, unseen } = own.posterior;
    return {
      coefficients: [...coefficients],
      covariance: [...covariance],
      residualSd: own.residualSd,
      unseen,
    };
  };
  return {
    ...name,
    tests: problem.day.length,
    lowKg: quantileSorted(sorted, 0.02),
    highKg: quantileSorted(sorted, 0.98),
    grades: [...grade.keys()].sort(),
    suppliers,
    row,
    outcomes: Object.fromEntries(
      outcomes.filter(isPredicted).map((outcome) => [outcome, outcomeOf(outcome)]),
    ) as WeightModel['outcomes'],
  };
};

/** Codes of the suppliers behind the last coefficients, of one outcome as of all; none where one alone is known. */
const suppliersOf = ({ fits }: YieldFit): number[] => {
  const own = fits.find((one) => one?.posterior !== undefined);
  const fixed = own?.beta.length ?? 0;
  return own !== undefined && (own.posterior?.coefficients.length ?? 0) > fixed ? own.supplier.codes : [];
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
