import type { VNode } from 'preact';
import { rejectCodes } from '../../faults/rejectCodes.ts';
import { counted } from '../../units/counted.ts';
import { shareByWeek } from '../charts/shareByWeek.ts';
import { Section } from './actions.tsx';
import { type Cell, columns, DataTable, dayCell } from './dataTable.tsx';
import { drawnFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Basis, type Bundle, page } from './frame.tsx';
import { type IntakeView, type MendRow, reasonText, type SenderRow, type SentCounts } from './intakeView.ts';
import type { Names } from './names.ts';
import { storeState } from './peopleFree.ts';

type About = {
  bundle: Bundle;
  basis: Basis;
  write: Formats;
  called: Names;
  /** Where to read on about a store; none in a bundle without pages of stores. */
  storeFile?: (store: string) => string;
};

const mostFiles = 60;
const leastShare = 0.001;
const mostNamed = 4;

/** What was sent, what was refused and why, and what to mend, for whoever asks stores for their sheets. */
export const intakePage = async (view: IntakeView, about: About): Promise<string> =>
  page(
    about.bundle,
    { title: 'What was sent', file: 'intake.html', lead: leadOf(view, about), basis: about.basis },
    <>
      <Section
        title="What to mend"
        note="Rows of a test that is held back stand together. Correct the cells that are named, leave the rest as it is, and put the file below inbox/ under the same path: it is read as its origin was."
      >
        <Mend view={view} about={about} />
      </Section>
      <Section
        title="Why rows were refused"
        note="Faults still open, in files of any age. One fault holds back its whole test, so that no test is read in part."
      >
        <Reasons view={view} about={about} />
      </Section>
      <Section
        title="Week by week"
        note="By the night on which a file was first there. The first night of a chain reads all that lies in the inbox."
      >
        {view.weeks.length > 1 ? await weekFigure(view, about) : <p>Files came in one week only so far.</p>}
      </Section>
      <Section
        title="Every store"
        note={`The last four weeks beside the four before: share is what was refused of the rows sent, and before that of the weeks before. Rows that are blank or were sent before do not count. Tests owed are left blank where a room has fewer than ${view.minimumGroup} cutters.`}
      >
        <div class="filters" data-of="senders" data-keys="state:State,store:Store" />
        <Senders view={view} about={about} />
      </Section>
    </>,
  );

const shareOf = ({ rows, refused }: SentCounts): number => (rows > 0 ? refused / rows : Number.NaN);

/** A share as it is read: none is 0 %, and few are not. */
const shareText = (counts: SentCounts, write: Formats): string => {
  if (counts.rows === 0) return '';
  if (counts.refused === 0) return '0 %';
  return shareOf(counts) < leastShare ? 'under 0.1 %' : write.percent(shareOf(counts));
};

const leadOf = ({ recent, before, mend }: IntakeView, about: About): string => {
  const { write } = about;
  if (recent.rows === 0) return 'No row was sent in the last four weeks.';
  const sent = `${counted(recent.rows, 'row', write.count)} sent in the last four weeks`;
  const earlier = before.rows === 0 ? '' : `, ${shareText(before, write)} in the four weeks before`;
  const share =
    recent.refused === 0
      ? `All ${sent} were taken.`
      : `${write.count(recent.refused)} of ${sent} ${recent.refused === 1 ? 'was' : 'were'} refused or held back with their test (${shareText(recent, write)}${earlier}).`;
  const first = mend[0];
  if (first === undefined) return `${share} Nothing is left to mend.`;
  const whose = first.stores.length === 0 ? '' : ` of ${whoseText(first.stores, about)}`;
  return `${share} ${counted(mend.length, 'file')} ${mend.length === 1 ? 'is' : 'are'} left to mend; begin with ${first.file}${whose}.`;
};

const whoseText = (stores: readonly string[], { called, write }: About): string =>
  stores.length > mostNamed ? `${write.count(stores.length)} stores` : stores.map(called.store).join(', ');

const Mend = ({ view, about }: { view: IntakeView; about: About }): VNode => {
  const { write } = about;
  const shown = view.mend.slice(0, mostFiles);
  const others = view.mend.length - shown.length;
  if (shown.length === 0) return <p>Nothing.</p>;
  return (
    <>
      <DataTable
        table={{
          caption: 'Files with rows to mend, newest first',
          columns: columns('File', 'Store', 'First seen', '#Rows', 'Why', 'What to do'),
          rows: shown.map((row) => {
            const { why, remedy } = reasonText(row.reasons);
            const rows = Number.isNaN(row.rows) ? '' : write.count(row.rows);
            return [
              mendedFile(row),
              whoseText(row.stores, about) || 'not known',
              write.day(row.seen),
              rows,
              why,
              remedy,
            ];
          }),
        }}
      />
      {others === 0 ? null : (
        <p class="note">{`And ${counted(others, 'older file', write.count)}; all stand in results/rejects.csv.`}</p>
      )}
    </>
  );
};

/** What to open: the rows given back, or the file itself where nothing of it was read. */
const mendedFile = ({ file, isWhole }: MendRow): string =>
  isWhole ? `inbox/${file}, whole` : `rejects/${file}.rejects.csv`;

const Reasons = ({ view, about: { write } }: { view: IntakeView; about: About }): VNode =>
  view.reasons.length === 0 ? (
    <p>None was.</p>
  ) : (
    <DataTable
      table={{
        caption: 'Faults by reason',
        columns: columns('Reason', '#Faults', '#Files', '#Stores', 'What to do', 'Code'),
        rows: view.reasons.map(({ code, count, files, stores }) => [
          rejectCodes[code].message,
          write.count(count),
          write.count(files),
          stores === 0 ? 'not known' : write.count(stores),
          rejectCodes[code].remedy,
          code,
        ]),
      }}
    />
  );

const weekFigure = ({ weeks }: IntakeView, { write }: About): Promise<VNode> => {
  const rows = weeks.map((week) => ({ week: write.day(week.until), percent: 100 * shareOf(week) }));
  const all = weeks.reduce((sum, week) => sum + week.rows, 0);
  return drawnFigure(
    {
      title: 'Share of rows refused',
      counted: `% of rows sent; ${counted(all, 'row', write.count)} in ${counted(weeks.length, 'week')}`,
      read: 'Dot: of the rows first there in that week, the share refused or held back. Every row is counted, so there is no interval; weeks without files are left out.',
      table: {
        caption: 'Rows by week',
        columns: columns('Week up to', '#Files', '#Rows', '#Refused', '#Share'),
        rows: weeks.map((week) => [
          write.day(week.until),
          write.count(week.files),
          write.count(week.rows),
          write.count(week.refused),
          shareText(week, write),
        ]),
      },
    },
    (size) => shareByWeek(rows, '% refused', size),
  );
};

const stateOf = ({ status, stores }: SenderRow): string => {
  if (stores.length !== 1) return stores.length === 0 ? 'no store named' : 'several in one file';
  return status === undefined ? '' : storeState(status);
};

const Senders = ({ view, about }: { view: IntakeView; about: About }): VNode => {
  const senders = [...view.senders].sort(
    (a, b) =>
      Number(b.status?.silent ?? false) - Number(a.status?.silent ?? false) ||
      b.recent.refused - a.recent.refused ||
      b.before.refused - a.before.refused,
  );
  return (
    <DataTable
      table={{
        id: 'senders',
        sortable: true,
        caption: 'Rows sent by store, last four weeks',
        columns: columns(
          'Store',
          'State',
          'Last test',
          '#Rows sent',
          '#Taken',
          '#Refused',
          '#Share',
          '#Before',
          '#Tests owed',
          '#Files',
        ),
        rows: senders.map((row) => senderCells(row, view, about)),
        keys: senders.map((row) => ({ state: stateOf(row), store: row.stores.join(' ') })),
      }}
    />
  );
};

const senderCells = (row: SenderRow, view: IntakeView, about: About): Cell[] => {
  const { write } = about;
  const { status, recent, before } = row;
  const name = whoseText(row.stores, about) || 'other files';
  const [store, ...others] = row.stores;
  const href = store === undefined || others.length > 0 ? undefined : about.storeFile?.(store);
  const isSmall = status === undefined || status.cutters < view.minimumGroup;
  return [
    href === undefined || status === undefined ? name : { text: name, href },
    stateOf(row),
    status === undefined ? '' : dayCell(status.lastTest, write) || 'never',
    write.count(recent.rows),
    write.count(recent.rows - recent.refused),
    write.count(recent.refused),
    shareText(recent, write),
    shareText(before, write),
    isSmall ? '' : write.count(row.owed),
    write.count(recent.files),
  ];
};
