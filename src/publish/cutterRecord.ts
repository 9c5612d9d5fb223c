import type { LakeRows } from '../lake/lakeRows.ts';
import type { ReferenceTables } from '../normalize/normalized.ts';
import { rowsBetween } from '../tables/columnRows.ts';
import type { ResultRow } from './results/resultRows.ts';

/** Rows that tell of one cutter, in the columns of where they are held; missing numbers are NaN. */
export type RecordTable = { name: string; rows: Record<string, string | number>[] };

/** All that a chain's folder holds beside what stores sent: the lake, the reference tables and the results in force. */
export type Held = {
  lake: LakeRows;
  reference: Pick<ReferenceTables, 'cutters' | 'coaching'>;
  results: readonly { name: string; rows: ResultRow[] }[];
};

/** Everything held of one cutter: every version of each test, with outputs and pieces, and every row that names the cutter. */
export const cutterRecord = (cutter: string, { lake, reference, results }: Held): RecordTable[] => {
  const versions = lake.tests.filter(({ table, place }) => table.tests.cutter[place] === cutter);
  const tests = versions.flatMap(({ table, place }) => rowsBetween(table.tests, place, place + 1));
  const keys = new Set(tests.map((test) => `${test.store}\u0000${test.testId}`));
  const inForce = new Set(
    (results.find(({ name }) => name === 'tests')?.rows ?? [])
      .filter((row) => row['cutter'] === cutter)
      .map(testOf),
  );
  const tells = (row: ResultRow): boolean =>
    Object.values(row).includes(cutter) || (row['cutter'] === undefined && inForce.has(testOf(row)));
  return [
    { name: 'lake/tests', rows: tests },
    { name: 'lake/outputs', rows: versions.flatMap((version, i) => outputsOf(version, tests[i])) },
    {
      name: 'lake/portions',
      rows: lake.portions
        .filter((row) => keys.has(`${row.store}\u0000${row.testId}`))
        .map(({ batch: _, ...portion }) => portion),
    },
    { name: 'reference/cutters', rows: reference.cutters.filter((row) => row.cutter === cutter) },
    { name: 'reference/coaching', rows: reference.coaching.filter((row) => row.cutter === cutter) },
    ...results.map(({ name, rows }) => ({ name: `results/${name}`, rows: rows.filter(tells) })),
  ].filter(({ rows }) => rows.length > 0);
};

/** The outputs of one version, each with the test it belongs to. */
const outputsOf = (
  { table, place }: LakeRows['tests'][number],
  test: { store: string; testId: string } | undefined,
): Record<string, string | number>[] =>
  rowsBetween(table.outputs, table.starts[place] as number, table.starts[place + 1] as number).map(
    (output) => ({ store: test?.store ?? '', testId: test?.testId ?? '', ...output }),
  );

const testOf = (row: ResultRow): string => `${row['store']}\u0000${row['test_id']}`;
