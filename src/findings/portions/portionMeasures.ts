import type { Chain, PortionSpec } from '../../catalog/chain.ts';
import { thicknessTolerance, weightTolerance } from '../../catalog/portionTolerance.ts';
import type { NormalizedPortion } from '../../normalize/normalized.ts';
import { kilogramsPer } from '../../units/weight.ts';

/** What a spec asks of a portion. All figures of one measure are in one unit: the chain's weight unit, or inches. */
export type PortionMeasure = {
  name: string;
  /** NaN where the spec does not ask for it. */
  aim: (target: PortionSpec) => number;
  /** NaN where it was not measured. */
  of: (portion: NormalizedPortion, chain: Chain) => number;
  plusMinus: (target: PortionSpec, chain: Chain) => number;
  over: string;
  under: string;
  /** A figure as headlines say it: ounces or grams, inches. */
  write: (value: number, chain: Chain) => string;
};

const written = (value: number, { language }: Chain, digits: number): string =>
  new Intl.NumberFormat(language, { minimumFractionDigits: digits, maximumFractionDigits: digits }).format(
    value,
  );

export const measures: readonly PortionMeasure[] = [
  {
    name: 'weight',
    aim: ({ weight = Number.NaN }) => weight,
    of: ({ weightKg }, { unit }) => weightKg / kilogramsPer(unit),
    plusMinus: ({ weight, tolerance = Number.NaN }, { unit }) => {
      const unitKg = kilogramsPer(unit);
      return weightTolerance(weight * unitKg, tolerance * unitKg).plusMinus / unitKg;
    },
    over: 'too heavy',
    under: 'too light',
    write: (value, chain) =>
      chain.unit === 'lb' ? `${written(16 * value, chain, 1)} oz` : `${written(1000 * value, chain, 1)} g`,
  },
  {
    name: 'thickness',
    aim: ({ thickness_in = Number.NaN }) => thickness_in,
    of: ({ thicknessIn }) => thicknessIn,
    plusMinus: ({ thickness_in = Number.NaN }) => thicknessTolerance(thickness_in).plusMinus,
    over: 'too thick',
    under: 'too thin',
    write: (value, chain) => `${written(value, chain, 2)} in`,
  },
];
