import type { Chain } from '../src/catalog/chain.ts';
import { findings } from '../src/findings/findings.ts';
import type { FoundNight } from '../src/findings/found.ts';
import { measure } from '../src/measure/measure.ts';
import type { MeasuredNight } from '../src/measure/measured.ts';
import { model } from '../src/model/model.ts';
import type { ModeledNight } from '../src/model/modeled.ts';
import type { FitAll } from '../src/model/yieldFit.ts';
import type { NormalizedNight } from '../src/normalize/normalized.ts';
import { review } from '../src/review/review.ts';
import type { RepairRow } from '../src/review/reviewed.ts';
import { screen } from '../src/screen/screen.ts';

export type Judged = {
  measured: MeasuredNight;
  modeled: ModeledNight;
  found: FoundNight;
  repairs: RepairRow[];
};

/** From normalized tables to findings: screen, measure, model, review (then measure and model once more), findings. */
export const judge = async (
  night: NormalizedNight,
  chain: Chain,
  asOfDay: number,
  { progress = () => {}, fitAll }: { progress?: (stage: string) => void; fitAll?: FitAll } = {},
): Promise<Judged> => {
  progress('screening and measuring');
  const screened = screen(night, chain);
  let measured = measure(screened, night.reference, chain, asOfDay);
  progress('fitting what each test should have yielded');
  const settings = { effectPoints: chain.thresholds.effect_points, fitAll };
  let modeled = await model(measured, settings);
  progress('reviewing tests that cannot be true');
  const reviewed = review({ screened, measured, modeled }, { chain, stores: night.reference.stores });
  if (reviewed.changed) measured = measure(reviewed.screened, night.reference, chain, asOfDay);
  if (reviewed.refit) modeled = await model(measured, settings);
  progress('looking for findings');
  const found = findings({
    chain,
    asOfDay,
    measured,
    modeled,
    portions: night.portions,
    reference: night.reference,
    refusedFiles: night.refusedFiles ?? [],
  });
  return { measured, modeled, found, repairs: reviewed.repairs };
};
