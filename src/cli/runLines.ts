import type { NightResult } from '../../pipelines/nightly.ts';

/** What a run prints at its end: where the sites are, the counts per file, rejects by code. */
export const runLines = (result: NightResult, folder: string): string[] => {
  const counted = result.intake.map(
    (row) =>
      `  ${row.file}: ${row.rowsRead} rows read = ${row.accepted} accepted + ${row.rejected} rejected + ${row.blank} blank + ${row.ignored} ignored + ${row.duplicate} duplicate + ${row.superseded} superseded${row.state === 'ingested' ? '' : ` (${row.state})`}`,
  );
  const byCode = new Map<string, number>();
  for (const reject of result.rejects) byCode.set(reject.code, (byCode.get(reject.code) ?? 0) + 1);
  return [
    ...counted,
    `${result.filesIngested} files ingested, ${result.tests} tests in force, ${result.rejects.length} rejects, ${result.staleStores} silent stores`,
    ...[...byCode].sort().map(([code, count]) => `  ${code}: ${count}`),
    ...(result.release === ''
      ? ['dry run: nothing written']
      : [
          `${result.changed ? 'new' : 'unchanged'} release ${result.release}`,
          ...['director', 'trainer', 'buyer'].map(
            (reader) => `  ${reader}: ${folder}/current/published/${reader}/index.html`,
          ),
        ]),
  ];
};
