import type { Chain } from '../catalog/chain.ts';
import type { MeasuredNight } from '../measure/measured.ts';
import type { ModeledNight } from '../model/modeled.ts';
import type { StoreRow } from '../normalize/normalized.ts';
import type { ScreenedNight } from '../screen/screened.ts';
import { appliedVerdicts } from './appliedVerdicts.ts';
import { cellFits } from './cellFits.ts';
import { expectedShares } from './expectedShares.ts';
import { lineCells } from './lineCells.ts';
import { pieceSizes, usualPurgeShare } from './pieceSize.ts';
import type { ReviewedNight } from './reviewed.ts';
import { reviewFacts } from './reviewFacts.ts';
import { unitUse } from './unitUse.ts';
import { usualCosts } from './usualCosts.ts';
import { verdicts } from './verdicts.ts';

/**
 * Weighs every test against what the model expects of it, used ones and those that the screen held: a mixture over the ways
 * a sheet goes wrong gives each mistake its chance. A mistake surer than 99 % whose undoing leaves a normal mass balance is
 * repaired; a test that is probably not true is held with the likely cause and what to weigh again.
 */
export const review = (
  night: { screened: ScreenedNight; measured: MeasuredNight; modeled: ModeledNight },
  { chain, stores }: { chain: Chain; stores: readonly StoreRow[] },
): ReviewedNight => {
  if (night.modeled.expected.numRows() === 0)
    return { screened: night.screened, repairs: [], changed: false, refit: false };
  const facts = reviewFacts(night.screened, night.measured, { chain, stores });
  const lines = lineCells(facts);
  const expected = expectedShares(facts, lines, night.modeled);
  const fits = cellFits(facts, lines, expected);
  const sizes = pieceSizes(facts);
  const most = chain.tolerances.unaccounted_error / 100;
  const usualCost = usualCosts(facts);
  const use = unitUse(facts, { sizes, usualCost });
  const usualPurge = usualPurgeShare(facts);
  const found = verdicts({ facts, lines, expected, fits, sizes, use, usualPurge, most, unit: chain.unit });
  return appliedVerdicts(night.screened, { facts, lines, usualCost }, found);
};
