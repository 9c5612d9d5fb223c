import type { VNode } from 'preact';
import { beforeAfter } from '../charts/beforeAfter.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { lineBand } from '../charts/lineBand.ts';
import { quantileDots } from '../charts/quantileDots.ts';
import { Actions, Section } from './actions.tsx';
import { columns } from './dataTable.tsx';
import type { DirectorView, MoneyRow } from './directorView.ts';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { moneyQuantiles } from './moneyQuantiles.ts';

/** The director's first page: what it costs, what to do, where, what changed. No person anywhere. */
export const directorHome = async (view: DirectorView, bundle: Bundle, write: Formats): Promise<string> => {
  const places = await Promise.all(view.places.map((place) => placeFigure(place, write)));
  const trend = await Promise.all(view.trend.lines.map((line) => trendFigure(view, line, write)));
  return page(
    bundle,
    { title: 'What cutting costs this week', file: 'index.html', lead: view.lead, basis: view.basis },
    <>
      <Actions title="Do next" actions={view.actions} none="Nothing needs a decision this week." />
      <Section title="How sure is the amount">{await atStake(view, write)}</Section>
      <Section title="Where it goes" note={`${view.scope} ${withheld(view, write)}`}>
        <div class="grid">{places}</div>
      </Section>
      <Section title="What changed" note={weekText(view, write)}>
        {await changeFigure(view, write)}
      </Section>
      <Section
        title="Trend, mix held constant"
        note="All on one axis. Above 0: more saleable weight than the same pieces gave over the whole period."
      >
        <div class="grid">{trend}</div>
      </Section>
    </>,
  );
};

const withheld = ({ shown, minimumGroup }: DirectorView, write: Formats): string => {
  if (shown.withheld === 0) return '';
  const rooms = `${shown.withheld} stores with fewer than ${minimumGroup} cutters are not in these figures, to keep people out of them`;
  return shown.together === undefined
    ? `${rooms}.`
    : `${rooms}; together they cost ${write.money(shown.together.value)} a week, which the total above includes.`;
};

const weekText = ({ trend }: DirectorView, write: Formats): string =>
  `${write.count(trend.lastWeek)} tests were cut in the last 7 days, ${write.count(trend.weekBefore)} in the 7 days before.`;

const atStake = async ({ total }: DirectorView, write: Formats): Promise<VNode> => {
  const { dots, width, highest } = moneyQuantiles(total);
  const bins = [...new Set(dots.map((dot) => dot.bin))];
  return drawnFigure(
    {
      title: 'What the habits may cost in a week',
      counted: `${write.currency} per week; ${write.count(total.tests)} tests`,
      read: 'Each of the 20 dots is a chance of 1 in 20: where dots pile up the true cost most likely lies.',
      table: {
        caption: `Chance by amount, ${write.currency} per week`,
        columns: columns('from', '#to', '#chance in 20'),
        rows: bins.map((bin) => [
          write.money(bin - width / 2),
          write.money(bin + width / 2),
          dots.filter((dot) => dot.bin === bin).length,
        ]),
      },
    },
    (size) => quantileDots(dots, { xTitle: `${write.currency} per week`, width, highest }, size),
  );
};

const placeFigure = ({ title, rows }: { title: string; rows: MoneyRow[] }, write: Formats): Promise<VNode> =>
  drawnFigure(
    {
      title: `By ${title.toLowerCase()}`,
      counted: `${write.currency} per week; ${write.count(rows.reduce((sum, row) => sum + row.tests, 0))} tests`,
      read: 'Dot: cost against what the same pieces should have yielded. Line: 95 % interval.',
      table: {
        caption: `Cost by ${title.toLowerCase()}, ${write.currency} per week`,
        columns: columns(title, '#cost', '#low', '#high', '#tests'),
        rows: rows.map((row) => [
          row.label,
          write.money(row.value),
          write.money(row.low),
          write.money(row.high),
          row.tests,
        ]),
      },
    },
    (size) => dotInterval(rows, { xTitle: `${write.currency} per week`, reference: 0 }, size),
  );

const trendFigure = (
  { trend }: DirectorView,
  line: DirectorView['trend']['lines'][number],
  write: Formats,
): Promise<VNode> =>
  drawnFigure(
    {
      title: line.label,
      counted: `points of saleable yield; ${write.count(line.tests)} tests`,
      read: 'Line: mean difference from expected by month. Band: 95 % interval of the mean.',
      table: {
        caption: `${line.label}: points from expected by month`,
        columns: columns('month', '#points', '#low', '#high'),
        rows: line.rows.map((row) => [
          row.x,
          write.signed(row.value),
          write.signed(row.low),
          write.signed(row.high),
        ]),
      },
    },
    () =>
      lineBand(
        line.rows,
        { xTitle: 'month of the cut', yTitle: 'points', domain: trend.domain, reference: 0 },
        'narrow',
      ),
  );

const changeFigure = ({ trend }: DirectorView, write: Formats): Promise<VNode> =>
  drawnFigure(
    {
      title: 'The last four weeks against the four before',
      counted: `points of saleable yield from expected; ${write.count(trend.changeTests)} tests`,
      read: 'Two dots a row, before and after. Lines: 95 % intervals; where they overlap much, nothing has changed for sure.',
      table: {
        caption: 'Points from expected, four weeks before and last four weeks',
        columns: columns('where', 'when', '#points', '#low', '#high'),
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
