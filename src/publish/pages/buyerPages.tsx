import { isoFromDay } from '../../units/calendarDay.ts';
import { kgPerLb } from '../../units/weight.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { drawSvg } from '../charts/drawSvg.ts';
import { lineBand } from '../charts/lineBand.ts';
import { DataTable, Figure, page } from './frame.tsx';
import { grouped, meanInterval } from './meanInterval.ts';
import type { PeopleFree, PeopleFreeTest } from './peopleFree.ts';

const fewest = 5;
const mostRows = 30;

/** The buyer's bundle: yield and cost by weight class, grade and supplier, curves, quotes and claims. No person anywhere. */
export const buyerPages = async (input: PeopleFree): Promise<Map<string, string>> => {
  const { chain } = input;
  const unitKg = chain.unit === 'lb' ? kgPerLb : 1;
  const money = new Intl.NumberFormat(chain.language, { style: 'currency', currency: chain.currency });
  const fixed = new Intl.NumberFormat(chain.language, { minimumFractionDigits: 1, maximumFractionDigits: 1 });
  const figure = async (
    title: string,
    about: {
      key: (test: PeopleFreeTest) => string;
      value: (test: PeopleFreeTest) => number;
      unit: string;
      print: (value: number) => string;
      how: string;
    },
  ) => {
    const rows = grouped(input.tests, about.key)
      .map(([label, own]) => ({ label, ...meanInterval(own.map(about.value)) }))
      .filter((row) => row.n >= fewest && row.label !== '')
      .slice(0, mostRows);
    const svg =
      rows.length === 0
        ? ''
        : await drawSvg(
            dotInterval(rows, {
              xTitle: about.unit,
              reference: rows.reduce((sum, row) => sum + row.value, 0) / rows.length,
            }),
          );
    return (
      <Figure
        title={title}
        n={`n = ${rows.reduce((sum, row) => sum + row.n, 0)} tests; groups of ${fewest} or more`}
        how={about.how}
        svg={svg}
        table={{
          head: ['group', about.unit, 'low', 'high', 'tests'],
          rows: rows.map((row) => [
            row.label,
            about.print(row.value),
            about.print(row.low),
            about.print(row.high),
            row.n,
          ]),
        }}
      />
    );
  };
  const rangeName = (test: PeopleFreeTest): string =>
    test.weightClass === ''
      ? ''
      : `${[test.item, test.spec].filter((part) => part !== '').join(' ')}, ${test.grade}, ${test.weightClass}`;
  const percent = (value: number): string => `${fixed.format(value)} %`;
  const curveItem = grouped(input.curves, (row) => `${row.item} ${row.spec}`.trim());
  const curves = await Promise.all(
    curveItem.map(async ([label, own]) => {
      const rows = own.map((row) => ({
        x: row.weightKg / unitKg,
        value: row.saleable * 100,
        low: row.low * 100,
        high: row.high * 100,
        series: row.grade,
      }));
      return (
        <Figure
          key={label}
          title={`${label}: saleable yield over piece weight`}
          n={`mean piece weight in ${chain.unit}, 2-98 % of weights seen, the method most used`}
          how="Line: mean saleable share of drained weight, per cent; band: 95 % interval of the mean."
          svg={
            await drawSvg(
              lineBand(rows, {
                xTitle: `piece weight, ${chain.unit}`,
                yTitle: '% saleable',
                xType: 'quantitative',
              }),
            )
          }
          table={{
            head: [`weight, ${chain.unit}`, 'grade', '% saleable', 'low', 'high'],
            rows: rows.map((row) => [
              fixed.format(row.x),
              row.series,
              fixed.format(row.value),
              fixed.format(row.low),
              fixed.format(row.high),
            ]),
          }}
        />
      );
    }),
  );
  const first = input.claims[0];
  const html = page(
    {
      title: 'What to buy and what to claim',
      chainName: chain.name,
      reader: 'the buyer',
      dataTo: input.asOf,
      reported: input.reported,
      lead:
        first === undefined
          ? 'No claim stands out; compare ranges by cost per saleable unit below before you quote.'
          : `${input.claims.length} claim${input.claims.length === 1 ? '' : 's'} to make. First: ${first.headline}`,
    },
    <>
      <p class="note">{`Cutting margin before packaging, case shrink, markdown; not the P&L. Group means below are as cut, not adjusted for who cut them; the curves are within one method.`}</p>
      {
        await figure('Cost per saleable unit by range and grade', {
          key: rangeName,
          value: (test) => test.costPerSaleableKg * unitKg,
          unit: `${chain.currency} per ${chain.unit} saleable`,
          print: (value) => money.format(value),
          how: 'Dot: mean; line: 95 % interval; dashed: mean of the groups. Lower is better within one item.',
        })
      }
      {
        await figure('Saleable yield by range and grade', {
          key: rangeName,
          value: (test) => test.saleableYield * 100,
          unit: '% of drained weight',
          print: percent,
          how: 'Dot: mean; line: 95 % interval.',
        })
      }
      {
        await figure('Yield against expected by supplier', {
          key: (test) => test.supplier,
          value: (test) => test.residual * 100,
          unit: 'points of saleable',
          print: (value) => fixed.format(value),
          how: 'Mean difference from what the same item, method, grade and weight class gave; line: 95 % interval.',
        })
      }
      {
        await figure('Purge by supplier', {
          key: (test) => test.supplier,
          value: (test) => test.purgeOfBilled * 100,
          unit: '% of billed weight',
          print: percent,
          how: 'Mean liquid lost in the bag where it was weighed; 1-2 % is usual (trade newsletter, secondary copy).',
        })
      }
      {curves}
      <h2>Claims</h2>
      {input.claims.length === 0 ? (
        <p>None.</p>
      ) : (
        <ul>
          {input.claims.map((claim) => (
            <li key={claim.findingId}>{`${claim.headline} ${claim.step}`}</li>
          ))}
        </ul>
      )}
      <h2>Lots with the most purge</h2>
      <DataTable
        table={{
          head: ['supplier', 'lot', 'item', 'purge, % of billed', 'tests'],
          rows: grouped(
            input.tests.filter((test) => test.lot !== '' && Number.isFinite(test.purgeOfBilled)),
            (test) => `${test.supplier}\u0000${test.lot}\u0000${test.item}`,
          )
            .map(
              ([key, own]) =>
                [
                  ...key.split('\u0000'),
                  meanInterval(own.map((test) => test.purgeOfBilled * 100)).value,
                  own.length,
                ] as [string, string, string, number, number],
            )
            .sort((a, b) => b[3] - a[3])
            .slice(0, 15)
            .map(([supplier, lot, item, purge, n]) => [supplier, lot, item, fixed.format(purge), n]),
        }}
      />
      <h2>Open quotes</h2>
      <DataTable
        table={{
          head: ['supplier', 'item', 'spec', 'grade', 'range', `price per ${chain.unit}`, 'basis', 'until'],
          rows: input.quotes.map((quote) => [
            quote.supplier,
            quote.item,
            quote.spec,
            quote.grade,
            quote.weightClass,
            money.format(quote.pricePerKg * unitKg),
            quote.basis,
            isoFromDay(quote.validTo),
          ]),
        }}
      />
    </>,
  );
  return new Map([['index.html', html]]);
};
