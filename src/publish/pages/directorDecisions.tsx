import type { VNode } from 'preact';
import type { MethodRow, StandardChangeRow } from '../../findings/found.ts';
import type { PortionRow } from '../../findings/merchandise/portionRows.ts';
import type { StandardUnsettled } from '../../findings/merchandise/standardRows.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { Section } from './actions.tsx';
import { columns, DataTable } from './dataTable.tsx';
import { type DirectorView, laborOf } from './directorView.ts';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { groups } from './groups.ts';
import type { Names } from './names.ts';
import { portionsTable } from './portionTables.ts';

type Writing = {
  write: Formats;
  called: Names;
  portions: readonly PortionRow[];
  unsettled: readonly StandardUnsettled[];
};

/** What to decide once for all stores: book yields to change, and ways of cutting that pay or do not. */
export const directorDecisions = async (
  view: DirectorView,
  bundle: Bundle,
  writing: Writing,
): Promise<string> => {
  const count = view.standards.length;
  const lead =
    count === 0
      ? 'No book yield is contradicted by what is measured.'
      : `Change ${count} book yield${count === 1 ? '' : 's'}: prices set on ${count === 1 ? 'it' : 'them'} miss the target margin of ${view.targetMargin} %.`;
  return page(
    bundle,
    { title: 'Decisions', file: 'decisions.html', lead, basis: view.basis },
    <>
      <Section
        title="Standards to change"
        note="Where the book yield lies outside the 95 % interval of what 8 or more tests gave."
      >
        {await standardsFigure(view.standards, writing)}
        <StandardPrices view={view} writing={writing} />
        <Unsettled writing={writing} />
      </Section>
      <Section
        title="Ways of cutting"
        id="ways-of-cutting-after-labor"
        note={
          view.methods.length === 0
            ? ''
            : `Gaps are ${laborOf(view.methods)}. At the same grade and piece weight. An interval that holds 0 decides nothing. ${view.scope}`
        }
      >
        {view.methods.length === 0 ? (
          <p>No two ways of cutting an item can be compared.</p>
        ) : (
          <>
            {await methodsFigure(view.methods, writing)}
            <BreakEven methods={view.methods} writing={writing} />
          </>
        )}
      </Section>
      {writing.portions.length === 0 ? null : (
        <Section
          title="Portions"
          note="All cutters together, against the portion weight asked for. Weight above target is given away where a portion is sold by the piece; sold by weight it is not."
        >
          <DataTable table={portionsTable(writing.portions, writing.called.item, writing.write)} />
        </Section>
      )}
    </>,
  );
};

/** An output of an item; a chain has one book yield for it and method. */
const nameOf = (row: StandardChangeRow, called: Names): string => `${called.item(row.item)}: ${row.output}`;

const standardsFigure = (
  standards: readonly StandardChangeRow[],
  { write, called }: Writing,
): Promise<VNode> => {
  const rows = standards.map((row) => ({
    group: called.item(row.item),
    label: row.output,
    value: (row.measured - row.book) * 100,
    low: (row.low - row.book) * 100,
    high: (row.high - row.book) * 100,
  }));
  return drawnFigure(
    {
      title: 'Measured against the book',
      counted: `points of drained weight; ${write.tests(standards.reduce((sum, row) => sum + row.tests, 0))}`,
      read: 'Dot: measured less book yield. Line: 95 % interval. Left of 0: the book promises too much.',
      table: {
        caption:
          'Book and measured yield, % of drained weight, and points from the book with the 95 % interval',
        columns: columns('Standard', '#Book', '#Measured', '#From the book', '#Low', '#High', '#Tests'),
        rows: standards.map((row) => [
          nameOf(row, called),
          write.percent(row.book),
          write.percent(row.measured),
          write.signed((row.measured - row.book) * 100),
          write.signed((row.low - row.book) * 100),
          write.signed((row.high - row.book) * 100),
          write.count(row.tests),
        ]),
      },
    },
    (size) => dotInterval(rows, { xTitle: 'points from the book yield', reference: 0 }, size),
  );
};

const StandardPrices = ({ view, writing }: { view: DirectorView; writing: Writing }): VNode | null => {
  const { write, called } = writing;
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  return view.standards.length === 0 ? null : (
    <DataTable
      table={{
        caption: `What to write into the book, and the price per ${write.unit} that keeps a margin of ${view.targetMargin} % of sales`,
        columns: columns(
          'Item',
          'Way',
          'Output',
          '#Book now',
          '#Change to',
          '#Price by the book',
          '#Price to set',
        ),
        rows: view.standards.map((row) => [
          called.item(row.item),
          row.method,
          row.output,
          write.percent(row.book),
          write.percent(row.measured),
          per(row.priceAtBook),
          per(row.priceAtTargetMargin),
        ]),
      }}
    />
  );
};

/** Book yields that too few tests speak to. */
const Unsettled = ({ writing: { unsettled, called } }: { writing: Writing }): VNode | null =>
  unsettled.length === 0 ? null : (
    <>
      <h3 class="after">Not enough tests to say</h3>
      <ul class="plain">
        {unsettled.map((row) => (
          <li key={`${row.item} ${row.method} ${row.output}`}>
            {`${called.item(row.item)}, ${row.method}, ${row.output}: ${row.missing}.`}
          </li>
        ))}
      </ul>
    </>
  );

const pairsOf = (methods: readonly MethodRow[]): MethodRow[] =>
  groups(methods, (row) => `${row.item}\u0000${[row.method, row.otherMethod].sort().join('\u0000')}`).map(
    ([, own]) => own.find((row) => row.gapPerBilledKg >= 0) ?? (own[0] as MethodRow),
  );

const methodsFigure = (methods: readonly MethodRow[], { write, called }: Writing): Promise<VNode> => {
  const pairs = pairsOf(methods);
  const rows = pairs.map((row) => ({
    group: called.item(row.item),
    label: `${row.method} over ${row.otherMethod}`,
    value: row.gapPerBilledKg * write.unitKg,
    low: row.low * write.unitKg,
    high: row.high * write.unitKg,
  }));
  const unit = `${write.currency} per billed ${write.unit}`;
  return drawnFigure(
    {
      title: 'Which way earns more',
      counted: `${unit} ${laborOf(pairs)}; ${write.tests(pairs.reduce((sum, row) => sum + row.tests, 0))}`,
      read: 'Dot: what the first way earns over the second. Line: 95 % interval.',
      table: {
        caption: `Gap between ways of cutting, ${unit}`,
        columns: columns('Item', 'Ways', '#Gap', '#Low', '#High', '#Tests'),
        rows: rows.map((row, i) => [
          row.group,
          row.label,
          write.cents(row.value),
          write.cents(row.low),
          write.cents(row.high),
          write.count((pairs[i] as MethodRow).tests),
        ]),
      },
    },
    (size) => dotInterval(rows, { xTitle: unit, reference: 0 }, size),
  );
};

const BreakEven = ({
  methods,
  writing: { write, called },
}: {
  methods: readonly MethodRow[];
  writing: Writing;
}): VNode => {
  const losing = methods.filter((row) => row.high < 0);
  return (
    <DataTable
      table={{
        caption: `What would make the losing way pay: one price at a time, ${write.currency} per ${write.unit}`,
        columns: columns('Item', 'Way', 'Against', 'Cut', '#Price now', '#Breaks even at', '#Without labor'),
        rows: losing.map((row) => [
          called.item(row.item),
          row.method,
          row.otherMethod,
          row.output,
          write.cents(row.pricePerKg * write.unitKg),
          row.isLaborKnown ? write.cents(row.breakEvenWithLaborPerKg * write.unitKg) : row.laborMissing,
          write.cents(row.breakEvenPerKg * write.unitKg),
        ]),
      }}
    />
  );
};
