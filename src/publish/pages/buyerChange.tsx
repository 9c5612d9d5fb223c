import type { VNode } from 'preact';
import type { QuarterChangeRow } from '../../findings/merchandise/quarterChange.ts';
import type { TrendRow } from '../../findings/merchandise/valueTrend.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { lineBand } from '../charts/lineBand.ts';
import { Section } from './actions.tsx';
import { columns } from './dataTable.tsx';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { groups } from './groups.ts';

export type ChangeInput = {
  changes: readonly QuarterChangeRow[];
  trend: readonly TrendRow[];
  called: (item: string) => string;
  write: Formats;
  basis: string;
};

/** What changed since the quarter before, split into parts that add up, and months with the mix held. */
export const buyerChange = async (input: ChangeInput, bundle: Bundle): Promise<string> => {
  const items = groups(
    input.changes.filter((row) => row.followed === 'value'),
    (row) => row.item,
  );
  return page(
    bundle,
    { title: 'What changed', file: 'change.html', lead: leadOf(input), basis: input.basis },
    <>
      <Section
        title="Since the quarter before"
        note="Sales value per billed unit, last 91 days less the 91 before. The parts add up to the total. Supplier holds yield, purge and short weight; cutting is what the pieces do not explain."
      >
        <div class="grid">
          {await Promise.all(items.map(([item, own]) => changeFigure(item, own, input)))}
        </div>
      </Section>
      <Section
        title="Month by month, mix held"
        note="Saleable share of billed weight as if every month had the same grades, weights, specs, suppliers and ways of cutting."
      >
        <div class="grid">
          {
            await Promise.all(
              groups(
                input.trend.filter((row) => row.followed === 'saleable'),
                (row) => row.item,
              ).map(([item, own]) => trendFigure(item, own, input)),
            )
          }
        </div>
      </Section>
    </>,
  );
};

const leadOf = ({ changes, called, write }: ChangeInput): string => {
  const first = changes
    .filter((row) => row.followed === 'value' && row.part !== 'total' && (row.low > 0 || row.high < 0))
    .sort((a, b) => Math.abs(b.change) - Math.abs(a.change))[0];
  if (first === undefined) return 'Nothing clearly changed since the quarter before.';
  const way = first.change > 0 ? 'added' : 'took';
  return `${called(first.item)}: ${first.part} ${way} ${write.cents(Math.abs(first.change) * write.unitKg)} per billed ${write.unit} since the quarter before.`;
};

const changeFigure = (
  item: string,
  own: readonly QuarterChangeRow[],
  { called, write }: ChangeInput,
): Promise<VNode> => {
  const known = own.filter((row) => row.missing === '');
  const rows = known.map((row) => ({
    label: row.part,
    value: row.change * write.unitKg,
    low: row.low * write.unitKg,
    high: row.high * write.unitKg,
  }));
  const [first] = own;
  const unit = `${write.currency} per billed ${write.unit}`;
  return drawnFigure(
    {
      title: called(item),
      counted:
        first === undefined || first.missing !== ''
          ? (first?.missing ?? '')
          : `${unit}; ${first.testsBefore} tests before, ${first.testsAfter} now`,
      read: 'Dot: what the part added. Line: 95 % interval.',
      table: {
        caption: `${called(item)}: change by part, ${unit}`,
        columns: columns('Part', '#Before', '#Now', '#Change', '#Low', '#High', '#A week'),
        rows: known.map((row) => [
          row.part,
          write.cents(row.before * write.unitKg),
          write.cents(row.after * write.unitKg),
          write.cents(row.change * write.unitKg),
          write.cents(row.low * write.unitKg),
          write.cents(row.high * write.unitKg),
          write.money(row.moneyPerWeek),
        ]),
      },
    },
    (size) => dotInterval(rows, { xTitle: unit, reference: 0 }, size),
  );
};

const trendFigure = (
  item: string,
  own: readonly TrendRow[],
  { called, write }: ChangeInput,
): Promise<VNode> => {
  const rows = own.map((row) => ({
    x: row.month,
    value: row.mixHeld * 100,
    low: row.low * 100,
    high: row.high * 100,
  }));
  const middle = rows.reduce((sum, row) => sum + row.value, 0) / Math.max(1, rows.length);
  return drawnFigure(
    {
      title: called(item),
      counted: `% of billed weight saleable; ${write.count(own.reduce((sum, row) => sum + row.tests, 0))} tests`,
      read: 'Line: mean with the mix held. Band: 95 % interval. Dashed: mean of the months.',
      table: {
        caption: `${called(item)}: saleable of billed by month`,
        columns: columns('Month', '#As cut', '#Mix held', '#Low', '#High', '#Tests'),
        rows: own.map((row) => [
          row.month,
          write.percent(row.asCut),
          write.percent(row.mixHeld),
          write.percent(row.low),
          write.percent(row.high),
          row.tests,
        ]),
      },
    },
    () => lineBand(rows, { xTitle: 'month of the cut', yTitle: '% of billed', reference: middle }, 'narrow'),
  );
};
