import type { PortionReachRow } from '../../findings/merchandise/portionReach.ts';
import type { PortionRow } from '../../findings/merchandise/portionRows.ts';
import { countedTests } from '../../units/counted.ts';
import { columns, type Table } from './dataTable.tsx';
import type { Formats } from './formats.ts';

type Called = (item: string) => string;

/** An item with its spec, as pages call it. */
export const whatOf = (row: { item: string; spec: string }, called: Called): string =>
  [called(row.item), row.spec].filter((part) => part !== '').join(', ');

const weightText = (kg: number, write: Formats): string => {
  const value = kg / write.unitKg;
  return Number.isFinite(value) ? `${value.toFixed(3)} ${write.unit}` : 'not known';
};

/** Portions of an output against the weight asked for, and what is given away. */
export const portionsTable = (portions: readonly PortionRow[], called: Called, write: Formats): Table => ({
  caption: 'Portions against their weight',
  columns: columns(
    'Item',
    'Output',
    '#Target',
    '#Mean',
    '#Given away a piece',
    '#Worth a piece',
    '#Too light',
    '#Too heavy',
    '#Pieces',
    'Beware',
  ),
  rows: portions.map((row) => [
    whatOf(row, called),
    row.output,
    weightText(row.targetKg, write),
    weightText(row.meanKg, write),
    weightText(row.giveawayKg, write),
    write.cents(row.giveawayMoney),
    write.percent(row.under),
    write.percent(row.over),
    write.count(row.pieces),
    [row.missing, row.toleranceSource === 'chain.yaml' ? '' : row.toleranceSource]
      .filter((text) => text !== '')
      .join('; '),
  ]),
});

/** Tolerance and spread of portions, and pieces outside the thickness asked for. */
export const thicknessTable = (portions: readonly PortionRow[], called: Called, write: Formats): Table => ({
  caption: 'Spread of portions, their tolerance, and pieces outside the thickness',
  columns: columns('Item', 'Output', '#Tolerance', '#Spread', '#Spread in a test', '#Too thin', '#Too thick'),
  rows: portions.map((row) => [
    whatOf(row, called),
    row.output,
    weightText(row.toleranceKg, write),
    weightText(row.sdKg, write),
    weightText(row.withinTestSdKg, write),
    write.percent(row.thin),
    write.percent(row.thick),
  ]),
});

/** What a portion weighs at the thickness asked for, and how thick it is at its weight, by range. */
export const reachTable = (reach: readonly PortionReachRow[], called: Called, write: Formats): Table => ({
  caption: 'Which portions a range allows',
  columns: columns(
    'Item',
    'Output',
    'Range',
    '#At thickness',
    '#Weighs (95 %)',
    '#At weight',
    '#Is thick',
    'Answer',
  ),
  rows: reach.map((row) => [
    whatOf(row, called),
    row.output,
    row.weightClass,
    Number.isFinite(row.thicknessIn) ? `${row.thicknessIn} in` : 'not given',
    row.missing === ''
      ? `${weightText(row.weightAtThicknessKg, write)} (${write.range(row.low, row.high, (kg) => weightText(kg, write))})`
      : '',
    weightText(row.weightKg, write),
    row.missing === '' ? `${row.thicknessAtWeightIn.toFixed(2)} in` : '',
    row.missing === '' ? `${countedTests(row.tests)}` : row.missing,
  ]),
});
