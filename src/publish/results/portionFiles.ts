import type { PortionReachRow } from '../../findings/merchandise/portionReach.ts';
import type { PortionRow } from '../../findings/merchandise/portionRows.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, count, number } = column;

/** portion-summary.csv: what portions really weigh. */
export const portionsFile: ResultsFile<PortionRow> = {
  name: 'portion-summary',
  description: 'Portions against their spec by item and output, then by cutter (cutter empty = everyone).',
  key: ['item', 'spec', 'output', 'cutter'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('output', 'output', (r) => r.output),
    text('cutter', 'cutter; empty = everyone', (r) => r.cutter),
    count('pieces', 'rows', 'pieces weighed', (r) => r.pieces),
    count('tests', 'tests', 'tests they come from', (r) => r.tests),
    number('target_weight', 'weight', 'portion weight asked for', (r) => r.targetKg),
    number('tolerance', 'weight', 'allowed plus and minus', (r) => r.toleranceKg),
    text('tolerance_source', 'where the tolerance is from', (r) => r.toleranceSource),
    number('mean_weight', 'weight', 'mean weight of a piece', (r) => r.meanKg),
    number('low', 'weight', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'weight', 'upper end of its 95 % interval', (r) => r.high),
    number('sd', 'weight', 'spread of all pieces', (r) => r.sdKg),
    number('within_test_sd', 'weight', 'spread of the pieces of one test', (r) => r.withinTestSdKg),
    number('under', 'fraction', 'share lighter than allowed', (r) => r.under),
    number('over', 'fraction', 'share heavier than allowed', (r) => r.over),
    number('giveaway_weight', 'weight', 'weight above target a piece', (r) => r.giveawayKg),
    number('giveaway_money', 'money', 'the same at the regular list, a piece', (r) => r.giveawayMoney),
    number('target_thickness_in', '', 'thickness asked for, inches', (r) => r.targetIn),
    number('mean_thickness_in', '', 'mean thickness, inches', (r) => r.meanIn),
    number('thin', 'fraction', 'share thinner than allowed', (r) => r.thin),
    number('thick', 'fraction', 'share thicker than allowed', (r) => r.thick),
    text('missing', 'what is missing for an answer; empty = answered', (r) => r.missing),
  ],
};

/** portion-reach.csv: which portions a weight range allows. */
export const reachFile: ResultsFile<PortionReachRow> = {
  name: 'portion-reach',
  description:
    'What a portion weighs at the thickness asked for, and how thick it is at its weight, by range.',
  key: ['item', 'spec', 'output', 'weight_class'],
  columns: [
    text('item', 'item', (r) => r.item),
    text('spec', 'purchase spec', (r) => r.spec),
    text('output', 'output', (r) => r.output),
    text('weight_class', 'range', (r) => r.weightClass),
    count('tests', 'tests', 'tests of the range with thickness', (r) => r.tests),
    number('piece_weight', 'weight', 'mean piece weight of these', (r) => r.pieceKg),
    number('thickness_in', '', 'thickness asked for, inches', (r) => r.thicknessIn),
    number('weight_at_thickness', 'weight', 'portion weight at that thickness', (r) => r.weightAtThicknessKg),
    number('low', 'weight', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'weight', 'upper end of its 95 % interval', (r) => r.high),
    number('weight', 'weight', 'portion weight asked for', (r) => r.weightKg),
    number('thickness_at_weight_in', '', 'thickness at that weight, inches', (r) => r.thicknessAtWeightIn),
    text('missing', 'what is missing for an answer; empty = answered', (r) => r.missing),
  ],
};
