import type { LossRow } from '../../findings/found.ts';
import { kgPerLb } from '../../units/weight.ts';
import { type DotRow, dotInterval } from '../charts/dotInterval.ts';
import { drawSvg } from '../charts/drawSvg.ts';
import { lineBand } from '../charts/lineBand.ts';
import { DataTable, Figure, page } from './frame.tsx';
import { grouped, meanInterval } from './meanInterval.ts';
import type { PeopleFree } from './peopleFree.ts';

const scope = 'Cutting margin before packaging, case shrink, markdown; not the P&L.';

/** The director's bundle: what it costs per week and where, the trend, coverage, standards. No person anywhere. */
export const directorPages = async (input: PeopleFree): Promise<Map<string, string>> => {
  const { chain } = input;
  const money = new Intl.NumberFormat(chain.language, { style: 'currency', currency: chain.currency });
  const fixed = new Intl.NumberFormat(chain.language, { minimumFractionDigits: 1, maximumFractionDigits: 1 });
  const total = sumOf(input.losses);
  const byRegion = grouped(input.losses, (row) => row.region);
  const worst = [...byRegion].sort((a, b) => sumOf(b[1]).moneyPerWeek - sumOf(a[1]).moneyPerWeek)[0];
  const silent = input.stores.filter((store) => store.silent);
  const shown = input.losses.filter((row) => !row.suppressed);
  const withheld = input.losses.length - shown.length;
  const moneyFigure = async (title: string, groups: [string, LossRow[]][], note = '') => {
    const rows = groups
      .map(([label, own]) => ({ label: label === '' ? 'no region' : label, ...dotOf(own) }))
      .sort((a, b) => b.value - a.value)
      .slice(0, 20);
    const svg =
      rows.length === 0
        ? ''
        : await drawSvg(dotInterval(rows, { xTitle: `${chain.currency} per week`, reference: 0 }));
    const tests = groups.reduce((sum, [, own]) => sum + own.reduce((n, row) => n + row.tests, 0), 0);
    return (
      <Figure
        title={title}
        n={`n = ${tests} tests${note}`}
        how="Dot: lost per week against what the tests should have yielded; line: 95 % interval."
        svg={svg}
        table={{
          head: ['where', `${chain.currency} per week`, 'low', 'high'],
          rows: rows.map((row) => [
            row.label,
            money.format(row.value),
            money.format(row.low),
            money.format(row.high),
          ]),
        }}
      />
    );
  };
  const trend = grouped(input.tests, (test) => test.month).map(([x, own]) => ({
    x,
    series: 'saleable yield, mix held constant',
    ...scaled(meanInterval(own.map((test) => test.residual))),
  }));
  const trendSvg =
    trend.length === 0
      ? ''
      : await drawSvg(
          lineBand(trend, { xTitle: 'month of the cut', yTitle: 'points from expected', xType: 'ordinal' }),
        );
  const coverage = input.stores.map((store) => ({
    label: store.store,
    value: store.tests,
    low: store.tests,
    high: store.tests,
  }));
  const coverageSvg =
    coverage.length === 0
      ? ''
      : await drawSvg(dotInterval(coverage, { xTitle: 'tests in force', reference: 0 }));
  const unitKg = chain.unit === 'lb' ? kgPerLb : 1;
  const lead =
    input.losses.length === 0
      ? 'No costly habit stands out this week: nothing needs a decision.'
      : `Trim habits cost about ${money.format(total.moneyPerWeek)} a week (${money.format(total.low)} to ${money.format(total.high)})${worst === undefined ? '' : `, most of it in ${worst[0] || 'stores without region'}: start there`}.`;
  const html = page(
    {
      title: 'Where the cutting money goes',
      chainName: chain.name,
      reader: 'the regional meat director',
      dataTo: input.asOf,
      reported: input.reported,
      lead,
    },
    <>
      <p class="note">{`${scope} Adjusted for ${input.adjustedFor.join(', ')}. ${input.held} tests were set aside because they cannot be true as sent.`}</p>
      {await moneyFigure('Money at stake by region', byRegion)}
      {
        await moneyFigure(
          'Money at stake by store',
          grouped(shown, (row) => row.store),
          withheld > 0
            ? `; ${withheld} store figures withheld, fewer than ${chain.privacy.minimum_group} people`
            : '',
        )
      }
      {
        await moneyFigure(
          'Money at stake by item',
          grouped(input.losses, (row) => row.item),
        )
      }
      {
        await moneyFigure(
          'Money at stake by habit',
          grouped(input.losses, (row) => row.habit.replaceAll('-', ' ')),
        )
      }
      <Figure
        title="Saleable yield by month, mix held constant"
        n={`n = ${input.tests.length} tests`}
        how="Points above or below what the tests of each month should have yielded; band: 95 % interval of the mean."
        svg={trendSvg}
        table={{
          head: ['month', 'points', 'low', 'high'],
          rows: trend.map((row) => [
            row.x,
            fixed.format(row.value),
            fixed.format(row.low),
            fixed.format(row.high),
          ]),
        }}
      />
      <Figure
        title="Tests by store"
        n={`${input.reported}`}
        how="Dot: tests in force. Counts have no interval."
        svg={coverageSvg}
        table={{
          head: ['store', 'name', 'region', 'tests', 'set aside', 'last test', 'silent'],
          rows: input.stores.map((store) => [
            store.store,
            store.name,
            store.region,
            store.tests,
            store.held,
            store.lastTest,
            store.silent ? 'yes' : '',
          ]),
        }}
      />
      <h2>Silent stores</h2>
      {silent.length === 0 ? (
        <p>None.</p>
      ) : (
        <ul>
          {silent.map((store) => (
            <li
              key={store.store}
            >{`${store.name} (${store.store}, ${store.region}): last test ${store.lastTest || 'never'}. Ask for its sheets.`}</li>
          ))}
        </ul>
      )}
      <h2>Ways of cutting, after labor</h2>
      <p class="note">
        Raw means of the tests, not adjusted for who chose the way; a gap whose interval holds 0 decides
        nothing.
      </p>
      <DataTable
        table={{
          head: [
            'item',
            'way',
            'against',
            'tests',
            `gap per billed ${chain.unit}`,
            '95 % interval',
            'cut',
            'price now',
            'price to break even',
          ],
          rows: input.methods.map((row) => [
            row.item,
            row.method,
            row.otherMethod,
            row.tests,
            money.format(row.gapPerBilledKg * unitKg),
            `${money.format(row.low * unitKg)} to ${money.format(row.high * unitKg)}`,
            row.output,
            money.format(row.pricePerKg * unitKg),
            money.format(row.breakEvenWithLaborPerKg * unitKg),
          ]),
        }}
      />
      <h2>Standards to change</h2>
      {input.standards.length === 0 ? (
        <p>None: every book yield with 8 or more tests agrees with what was measured.</p>
      ) : (
        <DataTable
          table={{
            head: [
              'item',
              'method',
              'output',
              'book %',
              'measured %',
              '95 % interval',
              'tests',
              `price at ${chain.target_margin} % margin per ${chain.unit}`,
            ],
            rows: input.standards.map((row) => [
              row.item,
              row.method,
              row.output,
              fixed.format(row.book * 100),
              fixed.format(row.measured * 100),
              `${fixed.format(row.low * 100)} to ${fixed.format(row.high * 100)}`,
              row.tests,
              Number.isNaN(row.priceAtTargetMargin)
                ? 'no price'
                : money.format(row.priceAtTargetMargin * unitKg),
            ]),
          }}
        />
      )}
    </>,
  );
  return new Map([['index.html', html]]);
};

const sumOf = (rows: readonly LossRow[]): { moneyPerWeek: number; low: number; high: number } =>
  rows.reduce(
    (sum, row) => ({
      moneyPerWeek: sum.moneyPerWeek + row.moneyPerWeek,
      low: sum.low + row.low,
      high: sum.high + row.high,
    }),
    { moneyPerWeek: 0, low: 0, high: 0 },
  );

const dotOf = (rows: readonly LossRow[]): Omit<DotRow, 'label'> => {
  const { moneyPerWeek, low, high } = sumOf(rows);
  return { value: moneyPerWeek, low, high };
};

const scaled = ({
  value,
  low,
  high,
}: {
  value: number;
  low: number;
  high: number;
}): { value: number; low: number; high: number } => ({
  value: value * 100,
  low: low * 100,
  high: high * 100,
});
