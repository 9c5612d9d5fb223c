import type { VNode } from 'preact';
import type { MerchandiseNight } from '../../findings/merchandise/merchandise.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { Section } from './actions.tsx';
import { columns, DataTable, type Table } from './dataTable.tsx';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Basis, type Bundle, page } from './frame.tsx';
import { groups } from './groups.ts';
import { portionsTable, reachTable, thicknessTable, whatOf } from './portionTables.ts';

export type WaysInput = {
  merchandise: MerchandiseNight;
  called: (item: string) => string;
  write: Formats;
  basis: Basis;
  targetMargin: number;
};

/** Which way of cutting pays, what every output costs, what portions really weigh and which a range allows. */
export const buyerWays = async (input: WaysInput, bundle: Bundle): Promise<string> => {
  const { merchandise, basis, called } = input;
  return page(
    bundle,
    { title: 'Cutting and portions', file: 'ways.html', lead: leadOf(input), basis },
    <>
      <Section
        title="Ways of cutting"
        note="Margins after labor at the regular list, at the same grade and piece weight. An interval that holds 0 decides nothing."
      >
        {await waysFigure(input)}
        <Beware input={input} />
        <More title="Every way by itself" tables={[waysTable(input)]} />
        <Part table={evenTable(input)} />
        <More title="How the gap shifts with piece weight" tables={[byWeightTable(input)]} />
        <More title="Ways that cannot be compared, and why" tables={[unansweredTable(input)]} />
      </Section>
      <Section
        title="Portions"
        note="Weighed piece by piece against the portion weight asked for. Weight above target is given away where a portion is sold by the piece; sold by weight it is not."
      >
        <Part table={portionsTable(merchandise.portions, called, input.write)} />
        <More
          title="Thickness, tolerance and spread; which portions a range allows"
          tables={[
            thicknessTable(merchandise.portions, called, input.write),
            reachTable(merchandise.reach, called, input.write),
          ]}
        />
      </Section>
      <Section
        title="What each output costs"
        note={`Purchase cost shared by sales value, by weight, and as the butcher’s test (main outputs only): three answers to three questions, never mixed. Margin is on sales, markup on cost. Price at ${input.targetMargin} % margin by sales value.`}
      >
        {groups(merchandise.outputs, (row) => row.item).map(([item, own]) => (
          <More key={item} title={called(item)} tables={[outputsTable(called(item), own, input)]} />
        ))}
      </Section>
    </>,
  );
};

const Part = ({ table }: { table: Table }): VNode | null =>
  table.rows.length === 0 ? <p>{`${table.caption}: nothing to show yet.`}</p> : <DataTable table={table} />;

/** Tables that few readers want: behind their title, left out when empty. */
const More = ({ title, tables }: { title: string; tables: readonly Table[] }): VNode | null => {
  const filled = tables.filter((table) => table.rows.length > 0);
  return filled.length === 0 ? null : (
    <details>
      <summary>{title}</summary>
      {filled.map((table) => (
        <DataTable key={table.caption} table={table} />
      ))}
    </details>
  );
};

const leadOf = ({ merchandise, called, write }: WaysInput): string => {
  const clear = merchandise.methods
    .filter((row) => row.low > 0)
    .sort((a, b) => b.gapPerBilledKg - a.gapPerBilledKg)[0];
  if (clear === undefined) return 'No way of cutting clearly earns more than another.';
  return `Cut ${called(clear.item)} by “${clear.method}”: it earns ${write.cents(clear.gapPerBilledKg * write.unitKg)} more per billed ${write.unit} than “${clear.otherMethod}” (${write.range(clear.low * write.unitKg, clear.high * write.unitKg, write.cents)}).`;
};

/** One row for each way against each other, the first of its cuts standing for the pair. */
const pairsOf = ({ merchandise }: WaysInput): MerchandiseNight['methods'] =>
  groups(merchandise.methods, (row) => [row.item, row.spec, row.method, row.otherMethod].join('\u0000')).map(
    ([, own]) => own[0] as MerchandiseNight['methods'][number],
  );

const waysFigure = (input: WaysInput): Promise<VNode> => {
  const { called, write } = input;
  const pairs = pairsOf(input).filter((row) => row.gapPerBilledKg >= 0);
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  const unit = `${write.currency} per billed ${write.unit} after labor`;
  const rows = pairs.map((row) => ({
    group: whatOf(row, called),
    label: `${row.method} over ${row.otherMethod}`,
    value: row.gapPerBilledKg * write.unitKg,
    low: row.low * write.unitKg,
    high: row.high * write.unitKg,
  }));
  return drawnFigure(
    {
      title: 'Which way earns more',
      counted: `${unit}; ${write.tests(pairs.reduce((sum, row) => sum + row.tests, 0))}`,
      read: 'Dot: what the first way earns over the second. Line: 95 % interval.',
      table: {
        caption: `Ways against each other, ${unit}; in brackets the 95 % interval`,
        columns: columns(
          'Item',
          'Way',
          'Against',
          '#Margin',
          '#Gap',
          '#Low',
          '#High',
          '#Per labor hour',
          '#Minutes',
          '#Saleable',
          '#Sells up to',
          '#Tests',
        ),
        rows: pairs.map((row) => [
          whatOf(row, called),
          row.method,
          row.otherMethod,
          per(row.marginPerBilledKg),
          per(row.gapPerBilledKg),
          per(row.low),
          per(row.high),
          Number.isNaN(row.marginPerHour)
            ? row.laborMissing || 'not known'
            : `${write.money(row.marginPerHour)} (${write.moneyRange(row.hourLow, row.hourHigh)})`,
          write.tenths(row.minutes),
          write.percent(row.saleableYield),
          Number.isNaN(row.demandShare)
            ? 'demand not known'
            : `${write.percent(row.demandShare)} of the item`,
          write.count(row.tests),
        ]),
      },
    },
    (size) => dotInterval(rows, { xTitle: unit, reference: 0 }, size),
  );
};

/** One row for each way of cutting: yields, minutes, value and margin, all at the same grade and piece weight. */
const waysTable = ({ merchandise, called, write }: WaysInput): Table => {
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  const ways = groups(merchandise.methods, (row) => [row.item, row.spec, row.method].join('\u0000')).map(
    ([, own]) => own[0] as MerchandiseNight['methods'][number],
  );
  return {
    caption: `Ways of cutting, ${write.currency} per billed ${write.unit} and per hour after labor; in brackets the 95 % interval`,
    columns: columns(
      'Item',
      'Way',
      '#Saleable',
      '#Main cut',
      '#Minutes',
      '#Value',
      '#Margin',
      '#Margin per hour',
      '#Sells up to',
      '#Tests',
    ),
    rows: ways.map((row) => [
      whatOf(row, called),
      row.method,
      write.percent(row.saleableYield),
      write.percent(row.mainCutYield),
      write.tenths(row.minutes),
      per(row.valuePerBilledKg),
      Number.isFinite(row.marginPerBilledKg)
        ? `${per(row.marginPerBilledKg)} (${per(row.marginPerBilledKg - row.marginReach)} to ${per(row.marginPerBilledKg + row.marginReach)})`
        : 'cost not known',
      Number.isFinite(row.marginPerHour)
        ? `${write.money(row.marginPerHour)} (${write.moneyRange(row.hourLow, row.hourHigh)})`
        : 'not known',
      Number.isNaN(row.demandShare) ? 'demand not known' : `${write.percent(row.demandShare)} of the item`,
      write.count(row.tests),
    ]),
  };
};

const evenTable = ({ merchandise, called, write }: WaysInput): Table => {
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  return {
    caption: `Price at which the losing way would earn the same, one cut at a time, ${write.currency} per ${write.unit}`,
    columns: columns('Item', 'Way', 'Against', 'Cut', '#Price now', '#With labor', '#Without labor'),
    rows: merchandise.methods
      .filter((row) => row.high < 0)
      .map((row) => [
        whatOf(row, called),
        row.method,
        row.otherMethod,
        row.output,
        per(row.pricePerKg),
        per(row.breakEvenWithLaborPerKg),
        per(row.breakEvenPerKg),
      ]),
  };
};

/** Who chose the way, said once for all items it holds for. */
const Beware = ({ input }: { input: WaysInput }): VNode => {
  const said = groups(
    pairsOf(input),
    (row) =>
      `Held equal: ${row.adjustedFor}. ${row.warning}${row.isLaborKnown ? '' : ` Before labor: ${row.laborMissing}.`}`,
  );
  return (
    <ul class="plain">
      {said.map(([text, own]) => {
        const items = [...new Set(own.map((row) => whatOf(row, input.called)))];
        return <li key={text}>{said.length === 1 ? text : `${items.join('; ')}. ${text}`}</li>;
      })}
    </ul>
  );
};

const byWeightTable = ({ merchandise, called, write }: WaysInput): Table => ({
  caption: `How the gap shifts with piece weight, ${write.currency} per billed ${write.unit} after labor`,
  columns: columns('Item', 'Way', 'Against', 'Range', '#Gap (95 %)', '#Tests'),
  rows: merchandise.byWeight.map((row) => [
    whatOf(row, called),
    row.method,
    row.otherMethod,
    row.weightClass,
    row.missing === ''
      ? `${write.cents(row.gapPerBilledKg * write.unitKg)} (${write.range(row.low * write.unitKg, row.high * write.unitKg, write.cents)})`
      : row.missing,
    write.count(row.tests),
  ]),
});

const unansweredTable = ({ merchandise, called, write }: WaysInput): Table => ({
  caption: 'Ways that cannot be compared',
  columns: columns('Item', 'Way', '#Tests', 'What is missing'),
  rows: merchandise.unanswered.map((row) => [
    whatOf(row, called),
    row.method,
    write.count(row.tests),
    row.missing,
  ]),
});

const outputsTable = (
  item: string,
  own: MerchandiseNight['outputs'],
  { write, targetMargin }: WaysInput,
): Table => {
  const per = (perKg: number): string => write.cents(perKg * write.unitKg);
  return {
    caption: `${item}, ${write.currency} per ${write.unit}`,
    columns: columns(
      'Way',
      'Output',
      '#Of billed',
      '#Price',
      '#Cost by sales value',
      '#Cost by weight',
      '#Butcher’s test',
      '#Margin on sales',
      '#Markup on cost',
      `#Price at ${targetMargin} %`,
      '#Tests',
      'Missing',
    ),
    rows: own.map((row) => [
      [row.spec, row.method].filter((part) => part !== '').join(', '),
      row.output,
      write.percent(row.ofBilled),
      per(row.pricePerKg),
      per(row.costBySalesValuePerKg),
      per(row.costByWeightPerKg),
      row.outputClass === 'main cut' ? per(row.residualCostPerKg) : '',
      write.percent(row.margin),
      write.percent(row.markup),
      per(row.priceAtTargetMargin),
      write.count(row.tests),
      row.missing,
    ]),
  };
};
