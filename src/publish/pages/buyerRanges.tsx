import type { VNode } from 'preact';
import type { RangeRow } from '../../findings/buying/buyingRows.ts';
import { groupedBy } from '../../tables/groupedBy.ts';
import { lineBand } from '../charts/lineBand.ts';
import { weightCurve } from '../charts/weightCurve.ts';
import { Section } from './actions.tsx';
import type { BuyerView } from './buyerView.ts';
import { byWeightTable } from './byWeightTable.ts';
import { columns, DataTable, type Table } from './dataTable.tsx';
import { panelFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';

/** How yield changes with piece weight over the ranges that can be ordered, what each range gives, and whether pieces get heavier. */
export const buyerRanges = async (view: BuyerView, bundle: Bundle, write: Formats): Promise<string> =>
  page(
    bundle,
    { title: 'Ranges', file: 'ranges.html', lead: leadOf(view), basis: view.basis },
    <>
      <Section
        title="Saleable yield over piece weight"
        note="Over the weights bought, without the lightest and heaviest 2 in 100; for the way of cutting most used."
      >
        {await curvesFigure(view, write)}
      </Section>
      <Section
        title="What each range gives"
        note="With a quote: for its supplier, at the best one open. Without: for an average supplier. So compare ranges of one supplier on the quotes page. Margins at the regular list, after labor."
      >
        {[...groupedBy(view.ranges, (row) => row.item)].map(([item, own]) => (
          <DataTable key={item} table={rangesTable(item, own, write)} />
        ))}
        {view.byWeight.map(({ title, rows }) => (
          <details key={title}>
            <summary>{`${title}: by piece weight, grade and supplier`}</summary>
            <DataTable table={byWeightTable(title, rows, write)} />
          </details>
        ))}
      </Section>
      <Section
        title="Piece weight by month"
        note="Pieces that get heavier move between ranges; ask before you re-order."
      >
        {await weightsFigure(view, write)}
      </Section>
    </>,
  );

const leadOf = ({ heavier }: BuyerView): string =>
  [heavier[0] ?? '', 'Choose a range by what saleable weight of it costs, not by its yield alone.']
    .filter((part) => part !== '')
    .join(' ');

const curvesFigure = ({ curves }: BuyerView, write: Formats): Promise<VNode> =>
  panelFigure(
    {
      title: 'Yield by piece weight and grade',
      counted: `% of drained weight saleable; ${write.tests(curves.reduce((sum, curve) => sum + curve.tests, 0))}`,
      read: 'Line: mean yield of a grade. Band: 95 % interval of the mean. Shades: the ranges that can be ordered.',
      table: {
        caption: 'Saleable yield by piece weight',
        columns: columns('Item', `#Weight, ${write.unit}`, 'Grade', '#Yield', '#Low', '#High'),
        rows: curves.flatMap((curve) =>
          curve.points.map((point) => [
            curve.title,
            write.tenths(point.weight),
            point.grade,
            `${write.tenths(point.value)} %`,
            `${write.tenths(point.low)} %`,
            `${write.tenths(point.high)} %`,
          ]),
        ),
      },
    },
    curves.map((curve) => ({
      title: curve.title,
      counted: write.tests(curve.tests),
      spec: weightCurve(curve.points, curve.ranges, { unit: write.unit, yTitle: '% saleable' }, 'narrow'),
    })),
  );

const rangesTable = (item: string, ranges: readonly RangeRow[], write: Formats): Table => {
  const per = (perKg: number): string => (Number.isFinite(perKg) ? write.cents(perKg * write.unitKg) : '');
  const withRange = (perKg: number, low: number, high: number): string =>
    Number.isFinite(perKg)
      ? `${per(perKg)} (${write.range(low * write.unitKg, high * write.unitKg, write.cents)})`
      : '';
  return {
    caption: `${item}: ${write.currency} per ${write.unit}, in brackets the 95 % interval`,
    columns: columns(
      'Range',
      'Grade',
      '#Saleable of billed',
      '#Main cut of billed',
      '#Value per billed',
      'Best quote',
      '#Delivered',
      '#Per saleable',
      '#Margin per billed',
      '#Tests',
    ),
    rows: ranges.map((row) => [
      row.weightClass,
      row.grade,
      row.missing === ''
        ? `${write.percent(row.saleable)} (${write.range(row.low * percentFrom, row.high * percentFrom, write.tenths)})`
        : row.missing,
      row.missing === '' ? write.percent(row.mainCut) : '',
      per(row.valuePerBilledKg),
      row.supplier,
      per(row.deliveredPerKg),
      withRange(row.costPerSaleableKg, row.costLow, row.costHigh),
      withRange(row.marginAfterLaborPerBilledKg, row.marginLow, row.marginHigh),
      write.count(row.tests),
    ]),
  };
};

const percentFrom = 100;

const weightsFigure = ({ weights }: BuyerView, write: Formats): Promise<VNode> =>
  panelFigure(
    {
      title: 'Mean piece weight',
      counted: `${write.unit} per piece; ${write.tests(weights.reduce((sum, line) => sum + line.tests, 0))}`,
      read: 'Line: mean piece weight by month of the cut. Band: 95 % interval of the mean. Dashed: mean of the months.',
      table: {
        caption: `Mean piece weight by month, ${write.unit}`,
        columns: columns('Item', 'Month', '#Weight', '#Low', '#High'),
        rows: weights.flatMap((line) =>
          line.rows.map((row) => [
            line.item,
            write.month(row.x),
            write.tenths(row.value),
            write.tenths(row.low),
            write.tenths(row.high),
          ]),
        ),
      },
    },
    weights.map((line) => ({
      title: line.item,
      counted: write.tests(line.tests),
      spec: lineBand(
        line.rows.map((row) => ({ ...row, x: write.month(row.x) })),
        {
          xTitle: 'month of the cut',
          yTitle: `${write.unit} a piece`,
          reference: line.rows.reduce((sum, row) => sum + row.value, 0) / Math.max(1, line.rows.length),
        },
        'narrow',
      ),
    })),
  );
