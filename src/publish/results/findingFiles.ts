import type { FindingRow, LossRow } from '../../findings/found.ts';
import type { SmallRoomsRow } from './publishedLosses.ts';
import { column, type ResultsFile } from './resultsFile.ts';

const { text, date, truth, count, number } = column;

/** findings.csv: what is worth a reader's attention; evidence is in findings.json. */
export const findingsFile: ResultsFile<FindingRow> = {
  name: 'findings',
  description:
    'One row a finding, dearest first. Evidence, adjustments and source lines are in findings.json.',
  key: ['finding_id'],
  columns: [
    text('finding_id', 'stable from night to night', (r) => r.findingId),
    text('kind', 'kind of finding', (r) => r.kind),
    text('reader', 'director, trainer or buyer', (r) => r.reader),
    text('region', 'region', (r) => r.region),
    text('store', 'store', (r) => r.store),
    text('cutter', 'cutter', (r) => r.cutter),
    text('item', 'item', (r) => r.item),
    text('outcome', 'what it is seen on', (r) => r.outcome),
    text('status', 'new, continuing or resolved', (r) => r.status),
    date(
      'since',
      'of a habit the day of the test by which its tests were enough to show it, of a change or a coaching its day, of a silent store that of its last test, of others that of the earliest evidence',
      (r) => r.since,
    ),
    number('effect', 'points', 'size', (r) => r.effect),
    number('low', 'points', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'points', 'upper end of its 95 % interval', (r) => r.high),
    number('chance', '', 'chance that it is beyond the threshold', (r) => r.chance),
    number('money_per_week', 'money', 'at stake; empty where it has no money', (r) => r.moneyPerWeek),
    number('money_low', 'money', 'lower end of its 95 % interval', (r) => r.moneyLow),
    number('money_high', 'money', 'upper end of its 95 % interval', (r) => r.moneyHigh),
    count('tests', 'tests', 'tests behind it', (r) => r.tests),
    text('compared_with', 'what it was compared with', (r) => r.comparedWith),
    text('headline', 'the finding in words', (r) => r.headline),
  ],
};

/** losses.csv: money at stake without people. */
export const lossesFile: ResultsFile<LossRow> = {
  name: 'losses',
  description:
    'Money at stake by store, item and habit, without people. Figures of small rooms are empty; a row without a store is all of them together, only where it hides each.',
  key: ['store', 'item', 'habit'],
  columns: [
    text('region', 'region', (r) => r.region),
    text('store', 'store', (r) => r.store),
    text('item', 'item', (r) => r.item),
    text('habit', 'habit', (r) => r.habit),
    number('money_per_week', 'money', 'at stake', (r) => r.moneyPerWeek),
    number('low', 'money', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'money', 'upper end of its 95 % interval', (r) => r.high),
    count('tests', 'tests', 'tests behind it', (r) => r.tests),
    count('cutters', '', 'cutters of the room', (r) => r.cutters),
    truth('suppressed', 'the figures may not leave for the director and the buyer', (r) => r.suppressed),
  ],
};

/** small-rooms.csv: the row without a store of losses.csv told apart by one thing at a time. */
export const smallRoomsFile: ResultsFile<SmallRoomsRow> = {
  name: 'small-rooms',
  description:
    'Money of the small rooms together, by region, by item and by habit: the same money three times. A sum is missing where it, or a difference of sums, could be a small room’s.',
  key: ['by', 'name'],
  columns: [
    text('by', 'region, item or habit', (r) => r.by),
    text('name', 'which region, item or habit', (r) => r.name),
    number('money_per_week', 'money', 'at stake', (r) => r.moneyPerWeek),
    number('low', 'money', 'lower end of its 95 % interval', (r) => r.low),
    number('high', 'money', 'upper end of its 95 % interval', (r) => r.high),
    count('tests', 'tests', 'tests behind it', (r) => r.tests),
    count('stores', '', 'stores in the sum', (r) => r.stores),
  ],
};
