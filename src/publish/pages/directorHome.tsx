import type { VNode } from 'preact';
import type { TopLevelSpec } from 'vega-lite';
import { beforeAfter } from '../charts/beforeAfter.ts';
import type { ChartSize } from '../charts/chartConfig.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { lineBand } from '../charts/lineBand.ts';
import { quantileDots } from '../charts/quantileDots.ts';
import { Actions, Section } from './actions.tsx';
import { columns } from './dataTable.tsx';
import type { DirectorView } from './directorView.ts';
import { drawnFigure, panelFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { mostRows } from './moneyPlaces.ts';
import { moneyQuantiles } from './moneyQuantiles.ts';
import { dimensions } from './smallRooms.ts';
import { changeText, trendText } from './trendText.ts';

/** The director's first page: what it costs, what to do, where, what changed. No person anywhere. */
export const directorHome = async (view: DirectorView, bundle: Bundle, write: Formats): Promise<string> =>
  page(
    bundle,
    {
      title: 'What cutting costs this week',
      file: 'index.html',
      lead: view.lead,
      basis: view.basis,
      facts: view.facts,
    },
    <>
      <Actions
        title="Do next"
        note={`${view.order} Amounts are rounded one by one. Ranges are 95 % intervals: the true amount lies in them with 95 % chance.`}
        actions={view.actions}
        none={view.calm}
      />
      <Section title="Where it goes" note={`${view.scope} ${withheld(view, write)}`}>
        {view.places.drawn.length === 0 ? (
          <p>{nothingDrawn(view)}</p>
        ) : (
          <MoneyFigures view={view}>
            {[await placesFigure(view, write), await atStake(view, write)]}
          </MoneyFigures>
        )}
      </Section>
      <Section title="What changed">
        <News view={view} />
        <Takeaway text={changeText(view.trend, write)} />
        {await changeFigure(view, write)}
      </Section>
      <Section
        title="Trend, mix held constant"
        note="As if every month had the same items, grades, weights, methods and suppliers."
      >
        <Takeaway text={trendText(view.trend, write)} />
        {await trendFigure(view, write)}
      </Section>
    </>,
  );

/** Said where there is no amount to draw. */
const nothingDrawn = ({ shown, minimumGroup }: DirectorView): string =>
  shown.withheld === 0
    ? 'No habit that costs money is found.'
    : `No habit that costs money is found in stores with ${minimumGroup} or more cutters.`;

/** Beside each other where both are small. */
const MoneyFigures = ({ view, children }: { view: DirectorView; children: VNode[] }): VNode => (
  <div class={isShort(view) ? 'grid' : undefined}>{children}</div>
);

const isShort = ({ places }: DirectorView): boolean => places.drawn.length === 1;

const Takeaway = ({ text }: { text: string }): VNode | null => (text === '' ? null : <p>{text}</p>);

const withheld = ({ shown, minimumGroup, span }: DirectorView, write: Formats): string => {
  if (shown.withheld === 0) return '';
  const rooms = `${shown.withheld === 1 ? '1 store' : `${shown.withheld} stores`} with fewer than ${minimumGroup} cutters`;
  if (shown.together === undefined)
    return `${rooms} ${shown.withheld === 1 ? 'is' : 'are'} not in these figures, to keep people out of them.`;
  const together = `${rooms} are in no row of their own, to keep people out of it; together they cost ${write.money(shown.together.value)} ${span}, which the total above includes`;
  return `${together}. ${inPlaces(shown, write)}`;
};

/** How much of the small rooms' money the sums by region, item and habit hold. */
const inPlaces = ({ apart, together }: DirectorView['shown'], write: Formats): string => {
  const all = together?.value ?? 0;
  const left = dimensions
    .map((by) => ({ by, money: all - apart[by].reduce((sum, row) => sum + row.value, 0), apart: apart[by] }))
    .filter(({ apart: named, money }) => named.length === 0 || money > write.centStep / 2)
    .map(
      ({ by, apart: named, money }) => `${named.length === 0 ? 'all' : write.money(money)} of it by ${by}`,
    );
  return left.length === 0
    ? 'By region, item and habit it is counted in.'
    : `Left out, as it would show a small room: ${left.join(', ')}.`;
};

const News = ({ view: { news, shown, minimumGroup } }: { view: DirectorView }): VNode => (
  <ul class="plain">
    <li>
      {shown.rows.length === 0 && shown.withheld > 0
        ? `Whether a habit is new is not told of stores with fewer than ${minimumGroup} cutters.`
        : newsOf(news)}
    </li>
    {shown.withheld === 0 || shown.rows.length === 0 ? null : (
      <li>{`Habits in stores with fewer than ${minimumGroup} cutters are not counted here.`}</li>
    )}
    {news.ended.length === 0 ? null : <li>{`Ended in the last four weeks: ${news.ended.join('; ')}.`}</li>}
  </ul>
);

/** Which habits are new, as one line; on a first night that says nothing of them. */
export const newsOf = ({ began, goOn, isFirstNight }: DirectorView['news']): string => {
  const all = began.length + goOn;
  if (all === 0) return 'No habit that costs money is found.';
  if (isFirstNight)
    return `The first night: ${all === 1 ? 'the one habit is' : `all ${all} habits are`} listed for the first time.`;
  const go = goOn === 1 ? 'goes' : 'go';
  if (began.length === 0) return `No habit is new; ${goOn} ${go} on.`;
  return `New since last week: ${began.join('; ')}. ${goOn === 0 ? 'No other goes on.' : `${goOn} more ${go} on.`}`;
};

const atStake = async (view: DirectorView, write: Formats): Promise<VNode> => {
  const { total, span } = view;
  const { dots, width, highest } = moneyQuantiles(total);
  const bins = [...new Set(dots.map((dot) => dot.bin))];
  return drawnFigure(
    {
      title: `What the habits may cost ${span === 'a week' ? 'in a week' : span}`,
      counted: `${write.currency} ${span}; ${write.tests(total.tests)}`,
      read: 'Each of the 20 dots is a chance of 1 in 20: where dots pile up the true cost most likely lies. Count the dots right of an amount to read the chance that it costs more.',
      table: {
        caption: `Chance by amount, ${write.currency} ${span}`,
        columns: columns('From', '#To', '#Chance in 20'),
        rows: bins.map((bin) => [
          ...write.moneyAlike(bin - width / 2, bin + width / 2),
          write.count(dots.filter((dot) => dot.bin === bin).length),
        ]),
      },
    },
    (size) => quantileDots(dots, { xTitle: `${write.currency} ${span}`, width, highest }, size),
    !isShort(view),
  );
};

const placesFigure = ({ places, total, span, shown }: DirectorView, write: Formats): Promise<VNode> => {
  const isOne = places.drawn.length === 1;
  const rows = places.drawn.flatMap(({ title, rows: own }) =>
    own.map((row) => ({ ...row, ...(isOne ? {} : { group: title }) })),
  );
  const by = places.drawn.flatMap(({ title, rows: own }) => own.map(() => title));
  return drawnFigure(
    {
      title: `${shown.together === undefined ? 'The same money' : 'What may be told apart of it,'} by ${listed(places.drawn.map(({ title }) => title.toLowerCase()))}`,
      counted: `${write.currency} ${span}; ${write.tests(total.tests)}`,
      read: `Dot: cost against what the same pieces should have yielded. Line: 95 % interval; grey: perhaps nothing.${dearestText(places)}${sameText(places)}`,
      table: {
        caption: `Cost by place, ${write.currency} ${span}`,
        columns: columns('By', 'Where', '#Cost', '#Low', '#High', '#Tests'),
        rows: rows.map((row, i) => [
          by[i] as string,
          row.label,
          ...write.moneyAlike(row.value, row.low, row.high),
          write.count(row.tests),
        ]),
      },
    },
    (size) => dotInterval(rows, { xTitle: `${write.currency} ${span}`, reference: 0 }, size),
  );
};

/** Of what there is more than is drawn. */
const dearestText = ({ dearest }: DirectorView['places']): string =>
  dearest.length === 0 ? '' : ` By ${listed(dearest)} only the ${mostRows} dearest.`;

/** What is not drawn, as it would be the same drawing. */
const sameText = ({ same }: DirectorView['places']): string =>
  same.length === 0 ? '' : ` By ${listed(same)} the amounts are the same.`;

const listed = (words: readonly string[]): string =>
  [words.slice(0, -1).join(', '), words.at(-1) ?? ''].filter((part) => part !== '').join(' and ');

const trendFigure = ({ trend }: DirectorView, write: Formats): Promise<VNode> =>
  panelFigure(
    {
      title: 'More or less than expected, month by month',
      counted: `points of saleable yield; ${write.tests(trend.lines[0]?.tests ?? 0)}`,
      read: 'Line: mean difference from expected. Band: 95 % interval of the mean. Above the dashed 0: more saleable weight than an average cutter in an average store gets out of the same pieces over the whole period. All on one axis.',
      table: {
        caption: 'Points from expected by month',
        columns: columns('Where', 'Month', '#Points', '#Low', '#High'),
        rows: trend.lines.flatMap((line) =>
          line.rows.map((row) => [
            line.label,
            write.month(row.x),
            write.signed(row.value),
            write.signed(row.low),
            write.signed(row.high),
          ]),
        ),
      },
    },
    trend.lines.map((line, i) => {
      const drawn = (size: ChartSize): TopLevelSpec =>
        lineBand(
          line.rows.map((row) => ({ ...row, x: write.month(row.x) })),
          { xTitle: 'month of the cut', yTitle: 'points', domain: trend.domain, reference: 0 },
          size,
        );
      return {
        title: line.label,
        counted: write.tests(line.tests),
        spec: drawn('narrow'),
        ...(i === 0 ? { wide: drawn('wide') } : {}),
      };
    }),
  );

const changeFigure = ({ trend }: DirectorView, write: Formats): Promise<VNode> =>
  drawnFigure(
    {
      title: 'The last four weeks against the four before',
      counted: `points of saleable yield from expected; ${write.tests(trend.changeTests)}`,
      read: 'Two dots a row, before and after. Lines: 95 % intervals. Trim that sells is saleable too: where main cut goes into it money is lost, but hardly any yield.',
      table: {
        caption: 'Points from expected, four weeks before and last four weeks',
        columns: columns('Where', 'When', '#Points', '#Low', '#High'),
        rows: trend.change.map((row) => [
          row.label,
          row.when,
          write.signed(row.value),
          write.signed(row.low),
          write.signed(row.high),
        ]),
      },
    },
    (size) => beforeAfter(trend.change, { xTitle: 'points from expected' }, size),
  );
