import type { VNode } from 'preact';
import { counted } from '../../units/counted.ts';
import { Actions, Section } from './actions.tsx';
import { columns, DataTable } from './dataTable.tsx';
import { BrowserFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { sharedText } from './sharedText.ts';
import type { StoreView } from './storeView.ts';
import { News } from './trainerHome.tsx';

/** A plan for one store visit that prints on a page: what to do with whom, the room, tests to see cut, sheets to mend. */
export const storePage = (
  view: StoreView,
  file: string,
  { bundle, write }: { bundle: Bundle; write: Formats },
): string =>
  page(
    bundle,
    { title: `Visit to ${view.label}`, file, lead: leadOf(view), basis: view.basis, draws: true },
    <>
      <Actions
        title="In the room"
        actions={view.actions}
        none={`No habit stands out here${view.owed.length === 0 ? '' : ': see the owed tests cut'}.`}
      />
      {view.rises.length === 0 ? null : (
        <Section title="To learn from">
          <News news={view.rises} />
        </Section>
      )}
      <Section title="Before you cut together">
        <ul class="plain">
          <li>
            Tare every tub and tray first; weigh drained or in the bag as the store’s sheet says, never both.
          </li>
          <li>Guards and hand protection on, product back in the cooler by the store’s own time rule.</li>
          <li>Talk with each person alone. A figure is a question: ask what they see before you show it.</li>
        </ul>
      </Section>
      <Section title="The whole room">
        <RoomFigure view={view} write={write} />
      </Section>
      <Section title="People here">
        <People view={view} write={write} />
      </Section>
      <Section
        title="Tests to see cut"
        note="Owed here: behind the store’s plan, or where it is open whether main cut is lost and so many tests would tell, as likely as not. At stake: what is to be expected lost there a week. A question, not a verdict."
      >
        <Owed view={view} write={write} />
      </Section>
      <Section
        title="Sheets to mend"
        note="Set aside in the last 60 days because they cannot be true as sent."
      >
        <Mended view={view} />
      </Section>
    </>,
  );

const leadOf = (view: StoreView): string => {
  if (view.silent)
    return `This store is silent (last test ${view.lastTest || 'never'}): find out why before anything else.`;
  if (view.sentButRefused)
    return `This store sends, but ${view.refusedFiles === 1 ? 'its file was' : `${view.refusedFiles} files were`} refused whole (last test ${view.lastTest || 'never'}): have the sheets mended before anything else.`;
  if (view.sentButOld)
    return `This store sends, but old sheets only (last test ${view.lastTest}): ask for what was cut since before anything else.`;
  if (view.lead !== '') return view.lead;
  if (view.rises.length > 0) return 'Nothing to put right here, but something to learn.';
  return view.owed.length > 0
    ? 'Nothing stands out: use a visit for the tests that are owed.'
    : 'Nothing stands out, and no tests are owed.';
};

const RoomFigure = ({ view, write }: { view: StoreView; write: Formats }): VNode =>
  view.room.length === 0 ? (
    <p>Not known: too few stores or tests to tell this room from others.</p>
  ) : (
    <BrowserFigure
      chart="classes"
      data={{ rows: view.room }}
      text={{
        title: 'Main cut of the room against expected, by item',
        counted: `points of drained weight; ${write.tests(view.room.reduce((sum, row) => sum + row.tests, 0))}`,
        read: `Dot: the room’s difference from other stores. Line: 95 % interval; grey crosses 0. ${view.isLone ? 'One cutter cut all of it: person and room cannot be told apart.' : 'A room below 0 singles nobody out.'}`,
        table: {
          caption: 'Room by item, points from expected',
          columns: columns('Item', '#Points', '#Low', '#High', '#Tests'),
          rows: view.room.map((row) => [
            row.label,
            write.signed(row.value),
            write.signed(row.low),
            write.signed(row.high),
            write.count(row.tests),
          ]),
        },
      }}
    />
  );

const Owed = ({ view, write }: { view: StoreView; write: Formats }): VNode => {
  if (view.owed.length === 0) return <p>None.</p>;
  const day = sharedText(view.owed.map((row) => row.by));
  const why = sharedText(view.owed.map((row) => row.why));
  return (
    <DataTable
      table={{
        caption: `Tests owed here${day === '' ? '' : `, by ${day}`}${why === '' ? '' : `, ${why}`}; at stake in ${write.currency} a week`,
        columns: columns('Who', 'Item', '#Tests', 'By', 'Why', '#At stake'),
        rows: view.owed.map((row) => [
          row.who,
          row.item,
          write.count(row.tests),
          day === '' ? row.by : '',
          why === '' ? row.why : '',
          row.atStake,
        ]),
      }}
    />
  );
};

const People = ({ view, write }: { view: StoreView; write: Formats }): VNode => (
  <ul class="plain">
    {view.people.map((person) => (
      <li key={person.href}>
        <a href={person.href}>{person.label}</a>
        {`, ${write.tests(person.tests)}${person.habits > 0 ? `, ${counted(person.habits, 'thing', write.count)} to work on` : ''}`}
      </li>
    ))}
  </ul>
);

const Mended = ({ view }: { view: StoreView }): VNode =>
  view.mended.length === 0 ? (
    <p>None.</p>
  ) : (
    <DataTable
      table={{
        caption: 'Tests set aside',
        columns: columns('Day', 'Test', 'Why', 'File and line'),
        rows: view.mended.map((row) => [row.day, row.test, row.reasons, row.place]),
      }}
    />
  );
