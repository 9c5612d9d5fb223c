import { describe, expect, it } from 'vitest';
import { judge } from '../../pipelines/judge.ts';
import { scoreReview } from '../simulator/scoreReview.ts';
import { simulateChain } from '../simulator/simulateChain.ts';
import { normalizedNight, simulatedChainFile } from '../simulator/simulatedTables.ts';

describe('review of a simulated chain with many keying errors', () => {
  it('finds, repairs and leaves alone what it should', async () => {
    const sim = simulateChain(11, 'base', {
      stores: 20,
      cutters: 60,
      tests: 4000,
      errorShare: 0.06,
      copiedShare: 0.01,
    });
    const { measured, found, repairs } = await judge(
      normalizedNight(sim),
      simulatedChainFile(sim),
      sim.asOfDay,
    );
    const figures = scoreReview(sim, measured, found);
    const share = (name: string): number => {
      const figure = figures[name];
      if (figure === undefined) throw new Error(`no figure ${name}`);
      return figure.bottom === 0 ? 0 : figure.top / figure.bottom;
    };
    expect(share('caught: whole unit, received unit, ounces')).toBeGreaterThanOrEqual(0.99);
    expect(share('caught: decimal shift')).toBeGreaterThanOrEqual(0.95);
    expect(share('caught: swapped')).toBeGreaterThanOrEqual(0.9);
    expect(share('caught: copied')).toBeGreaterThanOrEqual(0.85);
    expect(share('caught: line-unit')).toBeGreaterThanOrEqual(0.8);
    expect(share('good tests set aside')).toBeLessThanOrEqual(0.001);
    expect(share('repairable repaired')).toBeGreaterThanOrEqual(0.6);
    expect(share('repairs that are wrong')).toBeLessThanOrEqual(0.005);
    expect(share('findings with a wrong repair behind them')).toBe(0);
    expect(repairs.length).toBeGreaterThan(100);
  }, 600_000);
});
