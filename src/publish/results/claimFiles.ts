import type { BagLossRow } from '../../findings/buying/bagLosses.ts';
import type { ClaimLotRow } from '../../findings/buying/buyingRows.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, date, count, number } = column;

/** claim-lots.csv: the lots behind every claim. */
export const claimLotsFile: ResultsFile<ClaimLotRow> = {
  name: 'claim-lots',
  description:
    'Lots above what is usual, of suppliers with a claim: purge and short weight by billed weight, pieces outside the range bought by pieces.',
  key: ['finding_id', 'plant', 'lot', 'item'],
  columns: [
    text('finding_id', 'claim it belongs to', (r) => r.findingId),
    text('kind', 'purge-high, short-weight or out-of-range-pieces', (r) => r.kind),
    text('supplier', 'supplier', (r) => r.supplier),
    text('plant', 'plant; empty = not given', (r) => r.plant),
    text('lot', 'lot; empty = not given', (r) => r.lot),
    text('item', 'item', (r) => r.item),
    count('tests', 'tests', 'tests of the lot', (r) => r.tests),
    date('first_cut', 'first day one was cut', (r) => isoFromDay(r.firstDay)),
    date('last_cut', 'last day one was cut', (r) => isoFromDay(r.lastDay)),
    number('share', 'fraction', 'share of billed weight, or of pieces', (r) => r.share),
    number('billed_weight', 'weight', 'billed weight of these tests', (r) => r.billedKg),
    number('lost_weight', 'weight', 'purge or short weight of these', (r) => r.lostKg),
    number('above_usual_weight', 'weight', 'of it above what is usual', (r) => r.aboveUsualKg),
    number('pieces', '', 'pieces of these tests', (r) => r.pieces),
    number('pieces_outside', '', 'of them outside the range bought', (r) => r.piecesOutside),
    number('money', 'money', 'cost of the weight above usual', (r) => r.money),
  ],
};

/** bag-losses.csv: purge and leakers by supplier, plant, days since pack and whether the bag leaked. */
export const bagLossesFile: ResultsFile<BagLossRow> = {
  name: 'bag-losses',
  description:
    'Purge and leakers of each supplier (supplier empty = all), by plant, days since pack and leaker.',
  key: ['supplier', 'by', 'group'],
  columns: [
    text('supplier', 'supplier; empty = all', (r) => r.supplier),
    text('by', 'supplier, plant, days since pack or leaker', (r) => r.by),
    text('group', 'which of these', (r) => r.group),
    count('tests', 'tests', 'tests that tell the purge', (r) => r.tests),
    number('purge_of_billed', 'fraction', 'purge by billed weight', (r) => r.purgeShare),
    number('low', 'fraction', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'fraction', 'upper end of its 95 % interval', (r) => r.high),
    number('leaker_share', 'fraction', 'share of bags that leaked, where sheets say', (r) => r.leakerShare),
    text('missing', 'what is missing for an answer; empty = answered', (r) => r.missing),
  ],
};
