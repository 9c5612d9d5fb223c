import { outcomes } from '../../catalog/outcomes.ts';
import type { FindingRow } from '../../findings/found.ts';
import type { EffectRow } from '../../model/modeled.ts';
import { dotInterval } from '../charts/dotInterval.ts';
import { drawSvg } from '../charts/drawSvg.ts';
import type { SitesInput } from '../sitesInput.ts';
import { DataTable, Figure, page } from './frame.tsx';
import { grouped } from './meanInterval.ts';

const banner =
  'For coaching, not for pay or discipline. Every figure about a person is a question, not a verdict.';
const mostShown = 25;

/** The trainer's bundle: whom to work with first, one page a cutter, tests owed. Cutters appear by code (or name if the chain says so). */
export const trainerPages = async (
  input: SitesInput,
  about: { asOf: string; reported: string },
): Promise<Map<string, string>> => {
  const { chain, cutterCode } = input;
  const nameOf = new Map(input.reference.cutters.map((row) => [row.cutter, row.name]));
  const label = (cutter: string): string =>
    chain.privacy.names ? nameOf.get(cutter) || cutter : cutterCode(cutter);
  const fixed = new Intl.NumberFormat(chain.language, { minimumFractionDigits: 1, maximumFractionDigits: 1 });
  const findings = input.found.findings
    .filter((finding) => finding.reader === 'trainer')
    .map((finding) => ({
      ...finding,
      headline:
        finding.cutter === ''
          ? finding.headline
          : finding.headline.replaceAll(finding.cutter, label(finding.cutter)),
    }));
  const mine = input.modeled.effects.filter((row) => row.kind === 'cutter-item');
  const frame = {
    chainName: chain.name,
    reader: 'the trainer',
    dataTo: about.asOf,
    reported: about.reported,
    banner,
  };
  const main = mine
    .filter((row) => row.outcome === 'main_cut' && row.status === 'ok' && row.reliability >= 0.5)
    .sort((a, b) => a.effect - b.effect);
  const dots = [...main.slice(0, mostShown)].map((row) => ({
    label: `${label(row.id)}, ${row.item}`,
    value: row.effect,
    low: row.low,
    high: row.high,
    n: row.tests,
  }));
  const rooms = input.modeled.effects
    .filter((row) => row.kind === 'store-item' && row.outcome === 'main_cut' && row.status === 'ok')
    .sort((a, b) => a.effect - b.effect)
    .slice(0, 15)
    .map((row) => ({
      label: `${row.id}, ${row.item}`,
      value: row.effect,
      low: row.low,
      high: row.high,
      n: row.tests,
    }));
  const lost = mine
    .filter((row) => row.outcome === 'unaccounted' && row.status === 'ok')
    .sort((a, b) => b.effect - a.effect)
    .slice(0, 15)
    .map((row) => ({
      label: `${label(row.id)}, ${row.item}`,
      value: row.effect,
      low: row.low,
      high: row.high,
      n: row.tests,
    }));
  const figure = async (title: string, rows: typeof dots, how: string) => (
    <Figure
      title={title}
      n={`n = ${rows.reduce((sum, row) => sum + row.n, 0)} tests; points of drained weight`}
      how={how}
      svg={
        rows.length === 0
          ? ''
          : await drawSvg(dotInterval(rows, { xTitle: 'points from expected', reference: 0 }))
      }
      table={{
        head: ['who and item', 'points', 'low', 'high', 'tests'],
        rows: rows.map((row) => [
          row.label,
          fixed.format(row.value),
          fixed.format(row.low),
          fixed.format(row.high),
          row.n,
        ]),
      }}
    />
  );
  const files = new Map<string, string>();
  const first = findings[0];
  files.set(
    'index.html',
    page(
      {
        ...frame,
        title: 'Whom to work with first',
        lead:
          first === undefined
            ? 'No habit stands out: use the visits for tests that are owed.'
            : `${findings.length} habit${findings.length === 1 ? '' : 's'} to work on. Start with ${first.cutter === '' ? `the room of store ${first.store}` : label(first.cutter)} on ${first.item}.`,
      },
      <>
        <h2>Habits to work on, by money per week</h2>
        {findings.length === 0 ? (
          <p>None.</p>
        ) : (
          <ul>
            {findings.map((finding) => (
              <li key={finding.findingId}>
                {`${finding.headline} Step: ${finding.step} `}
                {finding.cutter === '' ? null : (
                  <a
                    href={`cutter-${cutterCode(finding.cutter)}.html`}
                  >{`Page of ${label(finding.cutter)}`}</a>
                )}
              </li>
            ))}
          </ul>
        )}
        {
          await figure(
            'Main cut against expected, lowest first',
            dots,
            'Dot: shrunken difference from an average cutter in an average store; line: 95 % interval. A line that crosses 0 may be chance. Only where enough tests allow a comparison.',
          )
        }
        {
          await figure(
            'Rooms: main cut against expected by store',
            rooms,
            'A whole room below 0 is a habit of the room, not of a person; line: 95 % interval.',
          )
        }
        {
          await figure(
            'Unaccounted weight against expected',
            lost,
            'Above 0: more weight is missing than expected. Is every tub weighed? Line: 95 % interval.',
          )
        }
        <h2>Tests owed</h2>
        {input.found.owed.length === 0 ? (
          <p>None.</p>
        ) : (
          <DataTable
            table={{
              head: ['store', 'item', 'who', 'how many', 'by', 'why'],
              rows: input.found.owed
                .slice(0, 60)
                .map((row) => [
                  row.store,
                  row.item,
                  row.cutter === '' ? 'anyone' : label(row.cutter),
                  row.tests,
                  row.by,
                  row.why,
                ]),
            }}
          />
        )}
        <h2>Everybody</h2>
        <ul>
          {grouped(mine, (row) => row.id).map(([cutter, own]) => (
            <li key={cutter}>
              <a href={`cutter-${cutterCode(cutter)}.html`}>{label(cutter)}</a>
              {`, store ${own[0]?.store ?? ''}`}
            </li>
          ))}
        </ul>
      </>,
    ),
  );
  for (const [cutter, own] of grouped(mine, (row) => row.id))
    files.set(
      `cutter-${cutterCode(cutter)}.html`,
      await cutterPage({
        frame,
        name: label(cutter),
        own,
        findings: findings.filter((finding) => finding.cutter === cutter),
        fixed,
      }),
    );
  return files;
};

type CutterPage = {
  frame: Omit<Parameters<typeof page>[0], 'title' | 'lead'>;
  name: string;
  own: EffectRow[];
  findings: FindingRow[];
  fixed: Intl.NumberFormat;
};

const words: Record<string, string> = {
  main_cut: 'main cut',
  other_cut: 'other cuts',
  lean_trim: 'lean trim',
  fat: 'fat',
  bone: 'bone',
  waste: 'waste',
  unaccounted: 'unaccounted',
};

const cutterPage = async ({ frame, name, own, findings, fixed }: CutterPage): Promise<string> => {
  const best = own.filter((row) => row.outcome === 'main_cut').sort((a, b) => b.low - a.low)[0];
  const habit = findings[0];
  const item = habit?.item ?? best?.item ?? '';
  const rows = own
    .filter((row) => row.item === item && row.outcome in words)
    .sort((a, b) => outcomes.indexOf(a.outcome) - outcomes.indexOf(b.outcome));
  const dots = rows.map((row) => ({
    label: words[row.outcome] as string,
    value: row.effect,
    low: row.low,
    high: row.high,
  }));
  const strength =
    best === undefined
      ? 'Not enough tests yet to name a strength.'
      : `Strongest on ${best.item}: main cut ${fixed.format(best.effect)} points from expected (${fixed.format(best.low)} to ${fixed.format(best.high)}, ${best.tests} tests).`;
  return page(
    {
      ...frame,
      title: name,
      home: 'index.html',
      lead: `${strength} ${habit === undefined ? 'No habit to work on now.' : `One thing to work on: ${habit.step}`}`,
    },
    <>
      {habit === undefined ? null : <p>{habit.headline}</p>}
      <Figure
        title={`Where the weight goes on ${item}`}
        n={`n = ${rows[0]?.tests ?? 0} tests; points of drained weight; the classes add to 0`}
        how="Right of 0: more than expected; line: 95 % interval."
        svg={
          dots.length === 0
            ? ''
            : await drawSvg(dotInterval(dots, { xTitle: 'points from expected', reference: 0 }))
        }
        table={{
          head: ['class', 'points', 'low', 'high'],
          rows: dots.map((row) => [
            row.label,
            fixed.format(row.value),
            fixed.format(row.low),
            fixed.format(row.high),
          ]),
        }}
      />
      <h2>Tests so far and still needed</h2>
      <DataTable
        table={{
          head: ['item', 'tests', 'still needed for a fair comparison', 'how sure (0-1)'],
          rows: own
            .filter((row) => row.outcome === 'main_cut')
            .map((row) => [
              row.item,
              row.tests,
              Number.isNaN(row.testsNeeded) ? 'no difference between people seen' : row.testsNeeded,
              row.reliability.toFixed(2),
            ]),
        }}
      />
    </>,
  );
};
