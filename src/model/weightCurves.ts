import type { ColumnTable } from 'arquero';
import { quantileSorted } from 'simple-statistics';
import { codesOf, numbersOf, textsOf } from '../tables/columns.ts';
import { z975 } from '../tables/normalDistribution.ts';
import { quadraticFit } from './linalg/quadraticFit.ts';
import type { CurveRow } from './modeled.ts';

const fewest = 20;
const points = 13;

/**
 * Saleable and main-cut yield and value over mean piece weight per item, spec and grade, within the method most often
 * used there; quadratic least squares on the 2-98 % weights seen, 95 % interval of the mean. At least 20 tests.
 */
export const weightCurves = (used: ColumnTable): CurveRow[] => {
  const [item, spec, grade, method] = ['item', 'spec', 'grade', 'method'].map((name) =>
    textsOf(used, name),
  ) as [string[], string[], string[], string[]];
  const { codes, levels } = codesOf(item.map((name, i) => `${name}\u0000${spec[i]}\u0000${grade[i]}`));
  const columns = ['meanPieceKg', 'saleableYield', 'mainCutYield', 'valuePerKg'].map((name) =>
    numbersOf(used, name),
  ) as [Float64Array, Float64Array, Float64Array, Float64Array];
  return levels.flatMap((level, g) => {
    const members = [...codes.keys()].filter((i) => codes[i] === g);
    const counts = new Map<string, number>();
    for (const i of members) counts.set(method[i] as string, (counts.get(method[i] as string) ?? 0) + 1);
    const common = [...counts].sort((a, b) => b[1] - a[1] || (a[0] < b[0] ? -1 : 1))[0]?.[0];
    const own = members.filter((i) => method[i] === common);
    const [itemName, specName, gradeName] = level.split('\u0000') as [string, string, string];
    return own.length < fewest
      ? []
      : curve(own, columns, { item: itemName, spec: specName, grade: gradeName });
  });
};

const curve = (
  own: readonly number[],
  columns: [Float64Array, Float64Array, Float64Array, Float64Array],
  about: { item: string; spec: string; grade: string },
): CurveRow[] => {
  const pick = (column: Float64Array): number[] => own.map((i) => column[i] as number);
  const weight = pick(columns[0]);
  const sorted = [...weight].sort((a, b) => a - b);
  const [low, high] = [quantileSorted(sorted, 0.02), quantileSorted(sorted, 0.98)];
  const [saleable, mainCut, value] = [columns[1], columns[2], columns[3]].map((column) =>
    quadraticFit(weight, pick(column)),
  ) as [ReturnType<typeof quadraticFit>, ReturnType<typeof quadraticFit>, ReturnType<typeof quadraticFit>];
  return Array.from({ length: points }, (_, place) => {
    const at = low + ((high - low) * place) / (points - 1);
    const fitted = saleable(at);
    return {
      ...about,
      weightKg: at,
      saleable: fitted.mean,
      low: fitted.mean - z975 * fitted.se,
      high: fitted.mean + z975 * fitted.se,
      mainCut: mainCut(at).mean,
      valuePerKg: value(at).mean,
    };
  });
};
