import { median } from 'simple-statistics';
import type { ReviewFacts } from './reviewFacts.ts';

/** Median cost per kg by item, spec and treatment over used tests; NaN where none is known. */
export const usualCosts = (facts: ReviewFacts): Float64Array => {
  const costs: number[][] = facts.piece.levels.map(() => []);
  for (let i = 0; i < facts.n; i++)
    if (facts.state[i] === 'used' && (facts.unitCostPerKg[i] as number) > 0)
      costs[facts.piece.codes[i] as number]?.push(facts.unitCostPerKg[i] as number);
  return Float64Array.from(costs, (own) => (own.length === 0 ? Number.NaN : median(own)));
};
