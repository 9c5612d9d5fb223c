import type { FoundNight } from '../../findings/found.ts';
import { indifferenceFile, quotesFile, rangesFile, yieldByWeightFile } from './buyingFiles.ts';
import { changesFile, trendFile } from './changeFiles.ts';
import { bagLossesFile, claimLotsFile } from './claimFiles.ts';
import {
  methodByWeightFile,
  methodOutputsFile,
  methodUnansweredFile,
  standardsUnsettledFile,
  unpricedFile,
} from './methodFiles.ts';
import { portionsFile, reachFile } from './portionFiles.ts';
import { type ResultsUnits, type WrittenFile, writtenFile } from './resultsFile.ts';

/** The files of the money decisions: what to buy, which way of cutting pays, what changed, what portions weigh. */
export const moneyFiles = (
  { buying, merchandise, claimLots }: Pick<FoundNight, 'buying' | 'merchandise' | 'claimLots'>,
  units: ResultsUnits,
): WrittenFile[] => [
  writtenFile(quotesFile, buying.quotes, units),
  writtenFile(indifferenceFile, buying.indifference, units),
  writtenFile(rangesFile, buying.ranges, units),
  writtenFile(yieldByWeightFile, buying.byWeight, units),
  writtenFile(claimLotsFile, claimLots, units),
  writtenFile(bagLossesFile, buying.bagLosses, units),
  writtenFile(methodOutputsFile, merchandise.outputs, units),
  writtenFile(methodByWeightFile, merchandise.byWeight, units),
  writtenFile(methodUnansweredFile, merchandise.unanswered, units),
  writtenFile(standardsUnsettledFile, merchandise.unsettled, units),
  writtenFile(changesFile, merchandise.changes, units),
  writtenFile(trendFile, merchandise.trend, units),
  writtenFile(portionsFile, merchandise.portions, units),
  writtenFile(reachFile, merchandise.reach, units),
  writtenFile(unpricedFile, merchandise.unpriced, units),
];
