import type { VNode } from 'preact';
import { counted } from '../../units/counted.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { Actions, type Link, Section } from './actions.tsx';
import { columns, DataTable, type Table } from './dataTable.tsx';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { sharedText } from './sharedText.ts';
import type { TrainerView } from './trainerView.ts';

/** The trainer's first page: whom to visit first and why, whether coaching worked, which tests are owed. */
export const trainerHome = async (view: TrainerView, bundle: Bundle, write: Formats): Promise<string> =>
  page(
    bundle,
    {
      title: 'Whom to visit first',
      file: 'index.html',
      lead: view.lead,
      basis: view.basis,
      facts: view.facts,
    },
    <>
      <Actions
        title="Visit in this order"
        note={view.visitNote}
        actions={view.actions}
        none="No habit stands out this week."
      />
      <MoreVisits links={view.more} />
      <Section title="What the habits cost">{await visitFigure(view, write)}</Section>
      <Section
        title="Did coaching help?"
        id="did-coaching-help"
        note="Who had a bad month by chance does better after it without coaching. That level is the one to be expected, and only what lies above it counts as gained. All in points of drained weight."
      >
        <News news={view.coachingNews} />
        {await coachingFigure(view, write)}
      </Section>
      {view.changes.length === 0 ? null : (
        <Section
          title="Good news, and what is gone"
          id="good-news"
          note="Levels that rose and stayed, then habits that are no longer seen. Nothing to put right: there is something to learn."
        >
          <News news={view.changes} />
        </Section>
      )}
      <Section
        title="Tests owed"
        note="Stores that are behind their plan first. Each visit plan lists its tests by cutter and item."
      >
        <Owed view={view} write={write} />
      </Section>
    </>,
  );

const MoreVisits = ({ links }: { links: readonly Link[] }): VNode | null =>
  links.length === 0 ? null : (
    <Section title="After that">
      <details>
        <summary>{`${links.length} more to work on`}</summary>
        <ul class="plain">
          {links.map((link) => (
            <li key={link.text}>
              <a href={link.href}>{link.text}</a>
            </li>
          ))}
        </ul>
      </details>
    </Section>
  );

const visitFigure = ({ visits, costly, span }: TrainerView, write: Formats): Promise<VNode> =>
  drawnFigure(
    {
      title: 'Cost of the habits by room or cutter',
      counted: `${write.currency} ${span}; ${write.tests(visits.reduce((sum, row) => sum + row.tests, 0))}`,
      read: `Dot: what the habits cost ${span}. Line: 95 % interval; grey: perhaps nothing. A visit can bring back a part of it.${visits.length < costly ? ` The first ${visits.length} of ${write.count(costly)}.` : ''}`,
      table: {
        caption: `Cost by room or cutter, ${write.currency} ${span}`,
        columns: columns('Who', '#Cost', '#Low', '#High', '#Tests'),
        rows: visits.map((row) => [
          { text: row.label, href: row.href },
          ...write.moneyAlike(row.value, row.low, row.high),
          write.count(row.tests),
        ]),
      },
    },
    (size) => dotInterval(visits, { xTitle: `${write.currency} ${span}`, reference: 0 }, size),
  );

/** What is told without being a visit, each with the page of its tests. */
export const News = ({ news }: { news: readonly Link[] }): VNode | null =>
  news.length === 0 ? null : (
    <ul class="plain">
      {news.map((link) => (
        <li key={link.text}>
          {`${link.text} `}
          <a href={link.href}>See the tests</a>
        </li>
      ))}
    </ul>
  );

const coachingFigure = ({ coached }: TrainerView, write: Formats): Promise<VNode> =>
  drawnFigure(
    {
      title: 'What each coaching gained',
      counted: `points of drained weight; ${write.tests(coached.reduce((sum, row) => sum + row.testsBefore + row.testsAfter, 0))} before and after ${counted(coached.length, 'coaching', write.count)}`,
      read: 'Dot: points gained, less what would have come back without coaching. Line: 95 % interval. Right of 0: it worked; grey: too early to say.',
      table: {
        caption: 'Coaching: level without an effect, level after, gain, in points',
        columns: columns(
          'Item',
          'Who and when',
          '#Without effect',
          '#After',
          '#Gain',
          '#Low',
          '#High',
          '#Tests before',
          '#Tests after',
          'So far',
        ),
        rows: coached.map((row) => [
          row.group,
          { text: row.label, href: row.href },
          write.signed(row.expectedAfter),
          write.signed(row.after),
          write.signed(row.value),
          write.signed(row.low),
          write.signed(row.high),
          write.count(row.testsBefore),
          write.count(row.testsAfter),
          row.verdict.replaceAll('-', ' '),
        ]),
      },
    },
    (size) => dotInterval(coached, { xTitle: 'points gained', reference: 0 }, size),
  );

const mostOwed = 10;

const Owed = ({ view: { owed }, write }: { view: TrainerView; write: Formats }): VNode => {
  if (owed.length === 0) return <p>None.</p>;
  const rest = owed.slice(mostOwed);
  return (
    <>
      <DataTable table={owedTable(owed.slice(0, mostOwed), owedText(owed, write), write)} />
      {rest.length === 0 ? null : (
        <details>
          <summary>{`The other ${counted(rest.length, 'store', write.count)}`}</summary>
          <DataTable table={owedTable(rest, 'Stores that owe tests', write)} />
        </details>
      )}
    </>
  );
};

/** Who is behind the plan, apart from where more tests may tell of an open loss. */
export const owedText = (owed: TrainerView['owed'], write: Formats): string => {
  const behind = owed.filter((row) => row.behind > 0).length;
  const toTell = owed.filter((row) => row.toTell > 0).length;
  return [
    behind === 0 ? 'No store is behind its plan' : `${counted(behind, 'store', write.count)} behind the plan`,
    ...(toTell === 0
      ? []
      : [
          `${counted(toTell, 'store', write.count)} where it is open whether a cutter loses main cut, which more tests may tell (what is found above is clear without them)`,
        ]),
  ].join('; ');
};

const owedTable = (rows: TrainerView['owed'], which: string, write: Formats): Table => {
  const day = sharedText(rows.map((row) => row.by));
  return {
    caption: day === '' ? which : `${which}; tests wanted by ${day}`,
    columns: columns('Store', '#Tests behind the plan', '#Tests that may tell of a loss', '#By'),
    rows: rows.map((row) => [
      { text: row.store, href: row.href },
      write.count(row.behind),
      write.count(row.toTell),
      day === '' ? row.by : '',
    ]),
  };
};
