import { judge } from '../../pipelines/judge.ts';
import type { FoundNight } from '../../src/findings/found.ts';
import { model } from '../../src/model/model.ts';
import type { ModeledNight } from '../../src/model/modeled.ts';
import { type Figure, type Figures, largest, rate } from './figures.ts';
import referenceFit from './reference-fit.json' with { type: 'json' };
import { scoreChange } from './scoreChange.ts';
import { adWeekMoves, scoreFindings } from './scoreFindings.ts';
import { scoreModel } from './scoreModel.ts';
import { scoreReview } from './scoreReview.ts';
import { simulateChain } from './simulateChain.ts';
import type { SimChain } from './simulated.ts';
import { measuredNight, normalizedNight, simulatedChainFile } from './simulatedTables.ts';
import type { VariantName } from './variants.ts';

/** `model`: the model alone on tests that a perfect screen left. `night`: from the sheets to the findings. */
export type Stage = 'model' | 'night';

/** `nights`: so many month ends before the last night are run as well, to count what is new on people each month. */
export type Asked = { seed: number; variant: VariantName; stage: Stage; nights: number };

/** All figures of one seed. */
export const scoreSeed = async ({ seed, variant, stage, nights }: Asked): Promise<Figures> => {
  const sim = simulateChain(seed, variant);
  const chain = simulatedChainFile(sim);
  if (stage === 'model') {
    const modeled = await model(measuredNight(sim), { effectPoints: chain.thresholds.effect_points });
    return { ...scoreModel(sim, modeled), ...besideReference(sim, modeled) };
  }
  const { measured, modeled, found } = await judge(normalizedNight(sim), chain, sim.asOfDay);
  const foundOf = async (own: SimChain): Promise<FoundNight> =>
    (await judge(normalizedNight(own), chain, own.asOfDay)).found;
  return {
    'tests used': rate(
      (measured.tests.array('state') as string[]).filter((state) => state !== 'held').length,
      sim.tests.length,
    ),
    ...scoreModel(sim, modeled),
    ...besideReference(sim, modeled),
    ...scoreFindings(sim, found),
    ...scoreReview(sim, measured, found),
    ...scoreChange(sim, found),
    ...(nights > 0
      ? { 'new on people per 300 cutters and month': await newOnPeople(sim, found, { nights, foundOf }) }
      : {}),
    ...(variant === 'adweek'
      ? {
          'largest move of a person by an ad week': largest(
            adWeekMoves(await foundOf(simulateChain(seed, 'base')), found),
            (move) => move,
          ),
        }
      : {}),
  };
};

const monthDays = 30;

/** Findings on people that were not there a month before, over the last nights. */
const newOnPeople = async (
  sim: SimChain,
  last: FoundNight,
  { nights, foundOf }: { nights: number; foundOf: (sim: SimChain) => Promise<FoundNight> },
): Promise<Figure> => {
  const keysOf = (found: FoundNight): Set<string> =>
    new Set(
      found.findings
        .filter((row) => row.cutter !== '' && row.status !== 'resolved')
        .map((row) => `${row.kind} ${row.cutter} ${row.item}`),
    );
  let later = keysOf(last);
  let fresh = 0;
  for (let back = 1; back <= nights; back++) {
    const asOfDay = sim.asOfDay - back * monthDays;
    const before = keysOf(
      await foundOf({ ...sim, asOfDay, tests: sim.tests.filter(({ day }) => day < asOfDay) }),
    );
    fresh += [...later].filter((key) => !before.has(key)).length;
    later = before;
  }
  return rate(300 * fresh, sim.cutters.length * nights);
};

/** Squared error against that of the reference fit of the same chain, which was told the true error labels. */
const besideReference = (sim: SimChain, modeled: ModeledNight): Figures => {
  const reference = referenceFit.seeds.find((own) => own.seed === sim.seed);
  if (reference === undefined || sim.variant !== 'base') return {};
  const { top, bottom } = scoreModel(sim, modeled)['RMSE saleable, points'] as Figure;
  return {
    'squared error over the reference fit': rate(top / bottom, reference.squared_error / reference.cells),
  };
};
