import type { VNode } from 'preact';
import type { PortionRow } from '../../findings/merchandise/portionRows.ts';
import { isoFromDay } from '../../units/calendarDay.ts';
import { Links, Section } from './actions.tsx';
import type { CutterView } from './cutterView.ts';
import { columns, DataTable, dayCell } from './dataTable.tsx';
import { BrowserFigure } from './figure.tsx';
import type { Formats } from './formats.ts';
import { type Bundle, page } from './frame.tsx';
import { portionsTable, thicknessTable } from './portionTables.ts';

/** One cutter's page, made to be shown to the cutter: strengths first, one habit, the step, the tests behind it. */
export const cutterPage = (
  view: CutterView & { portions: readonly PortionRow[]; called: (item: string) => string },
  file: string,
  { bundle, write }: { bundle: Bundle; write: Formats },
): string => {
  const habit = view.habits[0];
  return page(
    bundle,
    {
      title: view.who,
      file,
      lead: cutterLead(view),
      basis: {
        data: `${write.tests(view.tests)} to ${view.lastTest}.`,
        adjusted:
          'Compared with the same item, spec, grade, weight, method, supplier and month in an average room. Not adjusted for knives, tables, or how busy the day was.',
      },
      draws: true,
    },
    <>
      <div class="two">
        <Strengths strengths={view.strengths} inDoubt={view.inDoubt} isTested={isTestedEnough(view)} />
        {habit === undefined ? null : <Habit habit={habit} />}
      </div>
      {view.room.length === 0 ? null : (
        <Section title="In the room" note="Told of the whole room; no one person is meant.">
          {view.room.map((text) => (
            <p key={text}>{text}</p>
          ))}
        </Section>
      )}
      <Section title="Where the weight goes" id="where" note={`On ${view.item}.`}>
        <div class="grid">
          <ClassFigure view={view} write={write} />
          <StripFigure view={view} write={write} />
        </div>
      </Section>
      <Section title="Tests over time" id="history">
        <HistoryFigure view={view} write={write} />
        {view.open.map((text) => (
          <p key={text} class="note">
            {text}
          </p>
        ))}
      </Section>
      {view.portions.length === 0 ? null : (
        <Section title="Portions" note="Against the portion weight asked for, all of this cutter’s pieces.">
          <DataTable table={portionsTable(view.portions, view.called, write)} />
          <DataTable table={thicknessTable(view.portions, view.called, write)} />
        </Section>
      )}
      <MoreHabits habits={view.habits.slice(1)} />
      <ProgressSection view={view} write={write} />
      <Section
        title="What we agreed"
        note="To fill in together: the step, when to look again, what would help."
      >
        <p class="blank" />
        <p class="blank" />
      </Section>
      <TestsSection view={view} write={write} />
    </>,
  );
};

/** The first sentence of a cutter's page: the step, praise, or why nothing is said. */
export const cutterLead = (
  view: Pick<CutterView, 'habits' | 'strengths' | 'item' | 'progress' | 'room'>,
): string => {
  const { habits, strengths, item, room } = view;
  const habit = habits[0];
  if (habit !== undefined) return `One step to work on. ${habit.step}`;
  if (room.length > 0) return 'Nothing to change alone: there is something to look at with the whole room.';
  if (strengths.length > 0) return 'Nothing to change: keep cutting as you do.';
  return isTestedEnough(view)
    ? 'Nothing stands out from the others beyond chance, on any item.'
    : `Too few tests to say anything fair yet${item === '' ? '' : `: test ${item} next`}.`;
};

const isTestedEnough = ({ progress }: Pick<CutterView, 'progress'>): boolean =>
  progress.length > 0 && progress.every(({ needed }) => !(needed > 0));

type StrengthsProps = { strengths: readonly string[]; inDoubt: boolean; isTested: boolean };
const Strengths = ({ strengths, inDoubt, isTested }: StrengthsProps): VNode => (
  <Section title="What goes well">
    {strengths.length === 0 ? (
      <p>
        {inDoubt
          ? 'More main cut than expected is a strength once the fat cover and the tare are found right.'
          : isTested
            ? 'No strength stands out beyond chance.'
            : 'Not enough tests yet to name a strength.'}
      </p>
    ) : (
      strengths.map((text) => (
        <p key={text} class="good">
          {text}
        </p>
      ))
    )}
  </Section>
);

const Habit = ({ habit }: { habit: CutterView['habits'][number] }): VNode => (
  <Section title="The one thing to work on">
    <p>{habit.headline}</p>
    <p>
      <strong>{habit.target}</strong>
      {` ${habit.worth}`}
    </p>
  </Section>
);

const MoreHabits = ({ habits }: { habits: CutterView['habits'] }): VNode | null =>
  habits.length === 0 ? null : (
    <Section title="Later">
      <ul class="plain">
        {habits.map((habit) => (
          <li key={habit.title}>{habit.headline}</li>
        ))}
      </ul>
    </Section>
  );

const ClassFigure = ({ view, write }: { view: CutterView; write: Formats }): VNode => (
  <BrowserFigure
    chart="classes"
    data={{ rows: view.classes }}
    text={{
      title: 'More or less than expected',
      counted: `points of drained weight; ${write.tests(view.classTests)}`,
      read: 'Dot: difference from an average cutter. Line: 95 % interval; grey crosses 0 and may be chance. The classes add to 0.',
      table: {
        caption: `${view.item}: points from expected by class`,
        columns: columns('Class', '#Points', '#Low', '#High'),
        rows: view.classes.map((row) => [
          row.label,
          write.signed(row.value),
          write.signed(row.low),
          write.signed(row.high),
        ]),
      },
    }}
  />
);

const StripFigure = ({ view, write }: { view: CutterView; write: Formats }): VNode => (
  <BrowserFigure
    chart="strip"
    data={{ rows: view.strip }}
    text={{
      title: 'The latest test, output by output',
      counted: `% of drained weight; 1 test${view.stripTest === '' ? '' : ` (${view.stripTest})`}`,
      read: 'Upper strip: this test. Lower strip: what the same piece should have yielded. Stretches stand in the order of the legend. One test alone proves nothing.',
      table: {
        caption: `${view.item}: share of drained weight`,
        columns: columns('Strip', 'Class', '#Share'),
        rows: view.strip.map((part) => [part.strip, part.part, `${write.tenths(part.value)} %`]),
      },
    }}
  />
);

const msPerDay = 86_400_000;

const HistoryFigure = ({ view, write }: { view: CutterView; write: Formats }): VNode => (
  <BrowserFigure
    chart="history"
    data={{ rows: view.history.points, spans: view.history.spans, marks: view.history.marks }}
    text={{
      title: `${view.item}: ${view.outcome} from expected, test by test`,
      counted: `points of drained weight; ${write.tests(view.history.points.length)}`,
      read: 'Each dot is one test; dashed 0: as expected. Level line: mean of the stretch. Band: where about 95 % of its tests lie, larger dots lie outside. Upright dashed rule: coached.',
      table: {
        caption: `${view.item}: ${view.outcome}, points from expected`,
        columns: columns('Day', '#Points', 'Outside the band'),
        rows: view.history.points.map((point) => [
          dayCell(isoFromDay(point.at / msPerDay), write),
          write.signed(point.value),
          point.outside ? 'yes' : 'no',
        ]),
      },
    }}
  />
);

const ProgressSection = ({ view, write }: { view: CutterView; write: Formats }): VNode => (
  <Section title="Tests so far" note="Still needed: so many more to compare fairly (reliability 0.7).">
    <DataTable
      table={{
        caption: 'Tests by item, and how many are still needed',
        columns: columns('Item', '#Tests', 'Still needed'),
        rows: view.progress.map((row) => [row.item, write.count(row.tests), neededText(row.needed, write)]),
      }}
    />
  </Section>
);

const neededText = (needed: number, write: Formats): string => {
  if (Number.isNaN(needed)) return 'no difference between people seen';
  return needed === 0 ? 'enough' : write.count(needed);
};

const TestsSection = ({ view, write }: { view: CutterView; write: Formats }): VNode => (
  <Section title="Every test">
    <Links links={view.stores.map(({ text, href }) => ({ text: `Visit plan for ${text}`, href }))} />
    <details class="numbers">
      <summary>
        {view.rows.length === 1
          ? 'The one test with its file and line'
          : `All ${write.tests(view.rows.length)} with their file and line`}
      </summary>
      <DataTable
        table={{
          id: 'tests',
          sortable: true,
          caption: 'Tests, newest first; shares of drained weight',
          columns: columns(
            'Day',
            'Test',
            'Item',
            'Grade',
            '#Main cut',
            '#Expected',
            '#Points',
            '#Unaccounted',
            'State',
            'File and line',
          ),
          rows: view.rows,
        }}
      />
    </details>
  </Section>
);
