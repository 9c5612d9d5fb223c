import { z975 } from '../tables/normalDistribution.ts';
import type { CurveRow, WeightModel } from './modeled.ts';
import { predict } from './weightModel.ts';

const points = 13;

/** Saleable and main-cut yield and value over the 2-98 % weights seen, per item, spec and grade; plain treatment first. */
export const weightCurves = (models: readonly WeightModel[]): CurveRow[] => {
  const plain = models.filter(
    (model) =>
      !models.some(
        (other) =>
          other !== model &&
          other.item === model.item &&
          other.spec === model.spec &&
          other.tests > model.tests,
      ),
  );
  return plain.flatMap((model) => model.grades.flatMap((grade) => curve(model, grade)));
};

const curve = (model: WeightModel, grade: string): CurveRow[] =>
  Array.from({ length: points }, (_, place) => {
    const weightKg = model.lowKg + ((model.highKg - model.lowKg) * place) / (points - 1);
    const row = model.row(grade, weightKg);
    const saleable = predict(model, 'saleable', row);
    return {
      item: model.item,
      spec: model.spec,
      grade,
      weightKg,
      saleable: saleable.mean,
      low: saleable.mean - z975 * saleable.se,
      high: saleable.mean + z975 * saleable.se,
      mainCut: predict(model, 'main_cut', row).mean,
      valuePerKg: predict(model, 'value', row).mean,
    };
  });
