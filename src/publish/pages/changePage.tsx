import type { VNode } from 'preact';
import type { TopLevelSpec } from 'vega-lite';
import type { QuarterChangeRow } from '../../findings/merchandise/quarterChange.ts';
import type { TrendRow } from '../../findings/merchandise/valueTrend.ts';
import { addingUp } from '../../money/addingUp.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { lineBand } from '../charts/lineBand.ts';
import { Section } from './actions.tsx';
import { beyondChance } from './beyondChance.ts';
import { columns } from './dataTable.tsx';
import { panelFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Basis, type Bundle, page } from './frame.tsx';
import { groups } from './groups.ts';

export type ChangeInput = {
  changes: readonly QuarterChangeRow[];
  trend: readonly TrendRow[];
  called: (item: string) => string;
  write: Formats;
  basis: Basis;
};

/** What changed since the quarter before, split into parts that add up, and months with the mix held. */
export const changePage = async (input: ChangeInput, bundle: Bundle): Promise<string> =>
  page(
    bundle,
    { title: 'What changed', file: 'change.html', lead: leadOf(input), basis: input.basis },
    <>
      <Section
        title="Since the quarter before"
        note="Sales value per billed unit, last 91 days less the 91 before. Supplier holds yield, purge and short weight; cutting is what the pieces do not explain."
      >
        {await changesFigure(input)}
        <NotCompared input={input} />
      </Section>
      <Section
        title="Month by month, mix held"
        note="As if every month had the same grades, weights, specs, suppliers and ways of cutting."
      >
        {await trendsFigure(input, 'saleable')}
        {await trendsFigure(input, 'value')}
      </Section>
    </>,
  );

/** The largest part that is more than chance among so many, as it stands in the table and with its interval. */
const leadOf = (input: ChangeInput): string => {
  const { write } = input;
  const first = clearest(
    ofParts(input, (part) => part !== 'total'),
    write,
  );
  if (first === undefined) {
    const followed = input.changes.filter((row) => row.followed === 'value');
    if (followed.length > 0 && followed.every((row) => row.missing !== ''))
      return 'Whether anything changed since the quarter before cannot be said: below stands what is missing, by item.';
    const total = clearest(
      ofParts(input, (part) => part === 'total'),
      write,
    );
    return total === undefined
      ? 'Nothing changed since the quarter before by more than chance brings among so many parts.'
      : `${broughtBy(total, input)} (${rangeOf(total, write)}), but of no one part can it be said that it is more than chance.`;
  }
  return `${broughtBy(first, input)} because of ${first.part} (${rangeOf(first, write)}): the largest change that is more than chance.`;
};

type PrintedChange = QuarterChangeRow & { value: number; printed: number };

/** What is known of some parts of all items, with their change as it stands in the table. */
const ofParts = (input: ChangeInput, isMeant: (part: string) => boolean): PrintedChange[] =>
  ofItems(input).flatMap(([, own]) => {
    const change = printedChange(own, input.write);
    return own
      .map((row, i) => ({ ...row, value: row.change, printed: change[i] as number }))
      .filter(({ part, low, high, missing }) => isMeant(part) && missing === '' && high > low);
  });

/** The largest change that is more than chance among so many; undefined: none is. */
const clearest = (rows: readonly PrintedChange[], write: Formats): PrintedChange | undefined =>
  beyondChance(rows)
    .filter((row) => isClear(row, write))
    .sort((a, b) => Math.abs(b.change) - Math.abs(a.change))[0];

const broughtBy = ({ item, printed, change }: PrintedChange, { called, write }: ChangeInput): string =>
  `${called(item)} brings ${write.cents(Math.abs(printed))} ${change > 0 ? 'more' : 'less'} per billed ${write.unit} than the quarter before`;

const rangeOf = (row: PrintedChange, write: Formats): string => {
  const [low, high] = [written(row.low, write), written(row.high, write)];
  const [near, far] = row.change < 0 ? [-high, -low] : [low, high];
  return write.range(near, far, write.cents);
};

const isClear = ({ low, high }: QuarterChangeRow, write: Formats): boolean =>
  written(low, write) > 0 || written(high, write) < 0;

/** An end of an interval as it is written: what is less than half a cent is 0, so that nothing written as 0 is drawn or told as clear. */
const written = (end: number, write: Formats): number =>
  Math.abs(end) * write.unitKg < write.centStep / 2 ? 0 : digits(end * write.unitKg);

const ofItems = ({ changes }: ChangeInput): [string, QuarterChangeRow[]][] =>
  groups(
    changes.filter((row) => row.followed === 'value'),
    (row) => row.item,
  );

const changesFigure = (input: ChangeInput): Promise<VNode> => {
  const { called, write } = input;
  const unit = `${write.currency} per billed ${write.unit}`;
  const items = ofItems(input)
    .map(([item, own]) => [item, own.filter((row) => row.missing === '')] as const)
    .filter(([, own]) => own.length > 0);
  const tests = (own: readonly QuarterChangeRow[]): string =>
    `${write.tests(own[0]?.testsBefore ?? 0)} before, ${write.count(own[0]?.testsAfter ?? 0)} now`;
  const ends = items.flatMap(([, own]) =>
    own.flatMap((row) => [row.low * write.unitKg, row.high * write.unitKg]),
  );
  const domain = [
    ends.reduce((a, b) => Math.min(a, b), 0),
    ends.reduce((a, b) => Math.max(a, b), 0),
  ] as const;
  return panelFigure(
    {
      title: 'What each part added',
      counted: `${unit}; ${items.length} items`,
      read: 'Dot: what the part added since the quarter before. Line: 95 % interval; grey crosses 0 and may be chance. The parts add up to the total. All on one axis.',
      table: {
        caption: `Change by item and part, ${unit}; a week in ${write.currency}`,
        columns: columns('Item', 'Part', '#Before', '#Now', '#Change', '#Low', '#High', '#A week'),
        rows: items.flatMap(([item, own]) => {
          const change = printedChange(own, write);
          const aWeek = printed(own, (row) => row.moneyPerWeek, write.centStep);
          return own.map((row, i) => [
            called(item),
            row.part,
            write.cents(row.before * write.unitKg),
            write.cents(row.after * write.unitKg),
            write.cents(change[i] as number),
            write.cents(row.low * write.unitKg),
            write.cents(row.high * write.unitKg),
            write.cents(aWeek[i] as number),
          ]);
        }),
      },
    },
    items.map(([item, own]) => ({
      title: called(item),
      counted: tests(own),
      spec: dotInterval(
        own.map((row, i) => ({
          label: row.part,
          value: digits(printedChange(own, write)[i] as number),
          low: written(row.low, write),
          high: written(row.high, write),
        })),
        { xTitle: unit, reference: 0, domain },
        'narrow',
      ),
    })),
  );
};

/** A figure of an item's parts, the total among them, rounded so that what is printed adds up. */
const printed = (
  own: readonly QuarterChangeRow[],
  value: (row: QuarterChangeRow) => number,
  step: number,
): number[] => {
  const isTotal = (row: QuarterChangeRow): boolean => row.part === 'total';
  const total = own.filter(isTotal).reduce((sum, row) => sum + value(row), 0);
  const parts = addingUp(total, own.filter((row) => !isTotal(row)).map(value), step);
  let next = 0;
  return own.map((row) => (isTotal(row) ? total : (parts[next++] as number)));
};

const printedChange = (own: readonly QuarterChangeRow[], write: Formats): number[] =>
  printed(own, (row) => row.change * write.unitKg, write.centStep);

/** Items whose quarters cannot be compared, with what is missing. */
const NotCompared = ({ input }: { input: ChangeInput }): VNode | null => {
  const missing = ofItems(input).filter(([, own]) => own.every((row) => row.missing !== ''));
  return missing.length === 0 ? null : (
    <ul class="plain">
      {missing.map(([item, own]) => (
        <li key={item}>{`${input.called(item)}: ${own[0]?.missing}.`}</li>
      ))}
    </ul>
  );
};

const trendsFigure = (
  { trend, called, write }: ChangeInput,
  followed: TrendRow['followed'],
): Promise<VNode> => {
  const items = groups(
    trend.filter((row) => row.followed === followed),
    (row) => row.item,
  );
  const testsOf = (own: readonly TrendRow[]): number => own.reduce((sum, row) => sum + row.tests, 0);
  const told = trendWords(followed, write);
  return panelFigure(
    {
      title: told.title,
      counted: `${told.unit}; ${write.tests(items.reduce((sum, [, own]) => sum + testsOf(own), 0))}`,
      read: 'Line: mean with the mix held. Band: 95 % interval. Dashed: mean of the months.',
      table: {
        caption: `${told.title} by item and month`,
        columns: columns('Item', 'Month', '#As cut', '#Mix held', '#Low', '#High', '#Tests'),
        rows: items.flatMap(([item, own]) =>
          own.map((row) => [
            called(item),
            write.month(row.month),
            told.print(row.asCut),
            told.print(row.mixHeld),
            told.print(row.low),
            told.print(row.high),
            write.count(row.tests),
          ]),
        ),
      },
    },
    items.map(([item, own]) => ({
      title: called(item),
      counted: write.tests(testsOf(own)),
      spec: monthsSpec(own, told, write),
    })),
  );
};

type TrendWords = { title: string; unit: string; scale: number; print: (value: number) => string };

/** How the figure that is followed is called and written; `scale` turns it into what the axis shows. */
const trendWords = (followed: TrendRow['followed'], write: Formats): TrendWords =>
  followed === 'saleable'
    ? {
        title: 'Saleable share of billed weight',
        unit: '% of billed weight',
        scale: percentFrom,
        print: write.percent,
      }
    : {
        title: 'Sales value by billed weight',
        unit: `${write.currency} per billed ${write.unit}`,
        scale: write.unitKg,
        print: (perKg) => write.cents(perKg * write.unitKg),
      };

/** Without the dust of sums that cancel, which would make a part of 0 look clear. */
const digits = (value: number): number => Number(value.toFixed(6));

const percentFrom = 100;

const monthsSpec = (own: readonly TrendRow[], { unit, scale }: TrendWords, write: Formats): TopLevelSpec => {
  const rows = own.map((row) => ({
    x: write.month(row.month),
    value: row.mixHeld * scale,
    low: row.low * scale,
    high: row.high * scale,
  }));
  const middle = rows.reduce((sum, row) => sum + row.value, 0) / Math.max(1, rows.length);
  return lineBand(rows, { xTitle: 'month of the cut', yTitle: unit, reference: middle }, 'narrow');
};
