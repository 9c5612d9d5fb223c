import { probit } from 'simple-statistics';
import { z975 } from '../../tables/normalDistribution.ts';
import type { QuantileDot } from '../charts/quantileDots.ts';
import type { MoneySum } from './losses.ts';

const dotCount = 20;
const evenWidths = [1, 2, 5];

export type MoneyQuantiles = { dots: QuantileDot[]; width: number; highest: number };

/**
 * 20 equally likely amounts of a sum, normal around it with its interval's half-widths on each side, in columns of an even
 * width (Kay et al. 2016, quantile dotplot). Empty when the sum is nothing or not known.
 */
export const moneyQuantiles = (sum: MoneySum): MoneyQuantiles => {
  const spread = sum.high - sum.low;
  if (!(spread > 0)) return { dots: [], width: 1, highest: 0 };
  const width = evenWidth(spread / 9);
  const stacks = new Map<number, number>();
  const dots: QuantileDot[] = [];
  for (let i = 0; i < dotCount; i++) {
    const z = probit((i + 0.5) / dotCount);
    const half = z < 0 ? sum.value - sum.low : sum.high - sum.value;
    const bin = (Math.floor((sum.value + (z / z975) * half) / width) + 0.5) * width;
    const level = (stacks.get(bin) ?? 0) + 1;
    stacks.set(bin, level);
    dots.push({ bin, level });
  }
  return { dots, width, highest: [...stacks.values()].reduce((most, level) => Math.max(most, level), 0) };
};

const evenWidth = (about: number): number => {
  const power = 10 ** Math.floor(Math.log10(about));
  return power * (evenWidths.find((step) => step * power >= about) ?? 10);
};
