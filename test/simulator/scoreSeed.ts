import { judge } from '../../pipelines/judge.ts';
import { model } from '../../src/model/model.ts';
import { type Figures, largest, rate } from './figures.ts';
import { scoreChange } from './scoreChange.ts';
import { adWeekMoves, scoreFindings } from './scoreFindings.ts';
import { scoreModel } from './scoreModel.ts';
import { scoreReview } from './scoreReview.ts';
import { simulateChain } from './simulateChain.ts';
import { measuredNight, normalizedNight, simulatedChainFile } from './simulatedTables.ts';
import type { VariantName } from './variants.ts';

/** `model`: the model alone on tests that a perfect screen left. `night`: from the sheets to the findings. */
export type Stage = 'model' | 'night';

/** All figures of one seed. */
export const scoreSeed = (seed: number, variant: VariantName, stage: Stage): Figures => {
  const sim = simulateChain(seed, variant);
  const chain = simulatedChainFile(sim);
  if (stage === 'model')
    return scoreModel(sim, model(measuredNight(sim), { effectPoints: chain.thresholds.effect_points }));
  const { measured, modeled, found } = judge(normalizedNight(sim), chain, sim.asOfDay);
  const usual = variant === 'adweek' ? simulateChain(seed, 'base') : undefined;
  return {
    'tests used': rate(
      (measured.tests.array('state') as string[]).filter((state) => state !== 'held').length,
      sim.tests.length,
    ),
    ...scoreModel(sim, modeled),
    ...scoreFindings(sim, found),
    ...scoreReview(sim, measured, found),
    ...scoreChange(sim, found),
    ...(usual === undefined
      ? {}
      : {
          'largest move of a person by an ad week': largest(
            adWeekMoves(judge(normalizedNight(usual), chain, sim.asOfDay).found, found),
            (move) => move,
          ),
        }),
  };
};
